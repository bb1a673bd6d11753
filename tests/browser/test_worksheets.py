"""A kept calculation, what becomes of it with another input, and the tables that it rests on."""

from collections.abc import Callable

from playwright.sync_api import Page

from tests.browser.conftest import DESK, PHONE
from tests.factories.worksheets import make_worksheet

# Of a page with a thousand cells all alike: what each cell's colours are was looked at elsewhere.
STRUCTURE = ("landmark-unique", "region", "heading-order", "scrollable-region-focusable", "duplicate-id")


def test_its_pages_fit_the_screen_and_are_accessible(
    open_page: Callable[..., Page], violations: Callable[..., list[str]], shoot: Callable[[Page, str], None]
) -> None:
    clutch = {
        "outside_diameter": "240 mm",
        "inside_diameter": "155 mm",
        "mu": "0.28",
        "clamp_force": "9800 N",
        "engine_torque": "350 N*m",
        "minimum_service_factor": "1.2",
    }
    sheet = make_worksheet(clutch, calculation="clutch-capacity", title="Will the clutch hold?").get_absolute_url()
    swept = "what-if/?path=clamp_force&value=8000&output=service_factor&low=4000&high=12000"
    page = open_page("/calculate/standards/", role="fitter", size=PHONE)
    assert violations(page, STRUCTURE) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    for address, name in ((sheet, "worksheet"), (f"{sheet}{swept}", "what-if")):
        page.goto(address)
        assert violations(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
        shoot(page, name)
    page.emulate_media(color_scheme="dark")
    page.set_viewport_size(DESK)
    assert violations(page, ("color-contrast",)) == []
    assert page.locator("figure svg").count() == 1
    assert "fails below" in (page.locator("figure svg").text_content() or "")
