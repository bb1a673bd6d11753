"""The machinist's path in a browser: clock the gearbox, leave a bolt out, see the joint, print the set-up sheets."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from shop.plate.models import OmittedHole
from tests.browser.conftest import DESK, PHONE, make_pdf
from tests.factories.plate import make_plate

Open = Callable[..., Page]


@pytest.mark.parametrize(("size", "scripts"), [(DESK, True), (PHONE, False)])
def test_from_clocking_to_the_set_up_sheets(
    open_page: Open,
    size: dict[str, int],
    scripts: bool,
    violations: Callable[[Page], list[str]],
    shoot: Callable[[Page, str], None],
) -> None:
    sheet = make_plate(
        inputs={"windows.0.window": "starter", "windows.0.x": "0", "windows.0.y": "-100", "windows.0.diameter": "60 mm"}
    )
    page = open_page(sheet.get_absolute_url(), role="machinist", size=size, scripts=scripts)
    site = page.url.split("/worksheets/")[0]
    page.get_by_role("link", name="Clocking").click()
    page.get_by_role("textbox", name="Gearbox turned by").fill("12")
    page.get_by_role("button", name="Turn the gearbox").click()
    expect(page.get_by_role("heading", name="Gearbox turned by 12°")).to_be_visible()
    expect(page.get_by_text("starter: middle at")).to_be_visible()
    if scripts:
        page.evaluate("window.stays = true")
    page.get_by_role("link", name="+1°").click()
    expect(page.get_by_role("heading", name="Gearbox turned by 13°")).to_be_visible()
    if scripts:
        expect(page.get_by_role("link", name="+1°")).to_be_focused()
        page.get_by_role("slider", name="Gearbox turned by").fill("20")
        expect(page.get_by_role("heading", name="Gearbox turned by 20°")).to_be_visible()
        expect(page.get_by_role("textbox", name="Gearbox turned by")).to_have_value("20 deg")
        assert page.evaluate("window.stays"), "turned without a reload"
    errors = violations(page) if scripts else []
    shoot(page, f"clocking-{size['width']}")

    page.get_by_role("link", name="in the worksheet").first.click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("What if")
    page.goto(f"{site}/plate/{sheet.pk}/bolts/")
    page.get_by_role("link", name="Leave a hole out").click()
    page.get_by_label("Hole").select_option("E-B3")
    page.get_by_label("Why").select_option("no access for bolt or tool")
    page.get_by_label("In words").fill("behind the starter, Tibor looked")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_text("behind the starter, Tibor looked")).to_be_visible()
    assert OmittedHole.objects.get().plate_name == "E-B3"

    page.get_by_label("Preload of each bolt").select_option("as typed below")
    page.get_by_label("Preload, typed").fill("20 kN")
    page.get_by_label("Torque that the joint carries").fill("300")
    page.get_by_role("button", name="Work it out").click()
    expect(page.get_by_role("main")).to_contain_text("661.5 N·m")
    expect(page.get_by_role("main")).to_contain_text("What a person must check")
    errors += violations(page) if scripts else []
    shoot(page, f"bolts-{size['width']}")

    page.get_by_role("link", name="Thickness").click()
    expect(page.get_by_role("heading", name="What it must hold")).to_be_visible()
    errors += violations(page) if scripts else []
    assert not errors, "\n".join(errors)
    assert page.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")

    page.goto(f"{site}/print/new/plate-setup/{sheet.pk}/")
    text = "\n".join(one.extract_text() for one in make_pdf(page).pages)
    for words in ("LEFT OUT: do not drill these", "behind the starter, Tibor looked", "starter: round Ø60"):
        assert words in text
