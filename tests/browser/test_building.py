"""The parts that every area builds with, seen in a browser: two versions, lists, notices."""

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.conftest import DESK, PHONE
from tests.pdfs import reader

SIZES = {"desk": DESK, "phone": PHONE}
Open = Callable[..., Page]
Violations = Callable[[Page], list[str]]
Shoot = Callable[[Page, str], None]


@pytest.mark.parametrize("size", SIZES)
def test_a_stale_save_shows_both_versions_and_keeps_the_choice(
    open_page: Open, violations: Violations, shoot: Shoot, size: str
) -> None:
    mine = open_page("/people/preferences/", role="owner", size=SIZES[size], scripts=True)
    theirs = open_page("/people/preferences/", role="owner", size=SIZES[size])
    theirs.get_by_label("Inch: in, lbf·ft, lb").check()
    theirs.get_by_role("button", name="Save").click()
    mine.get_by_label("Letter").check()
    mine.get_by_role("button", name="Save").click()
    expect(mine.get_by_role("alert")).to_contain_text("while you were writing")
    shoot(mine, f"conflict-{size}")
    assert violations(mine) == []
    expect(mine.get_by_label("On record: Inch")).to_be_checked()
    expect(mine.get_by_label("Yours: Letter")).to_be_checked()
    mine.get_by_role("button", name="Save").click()
    expect(mine.get_by_role("status")).to_contain_text("Saved")
    expect(mine.get_by_label("Inch: in, lbf·ft, lb")).to_be_checked()
    expect(mine.get_by_label("Letter")).to_be_checked()


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("dark", [False, True])
def test_a_list_and_a_person_fit_the_screen(
    open_page: Open, violations: Violations, shoot: Shoot, size: str, dark: bool
) -> None:
    page = open_page("/people/", role="owner", size=SIZES[size], dark=dark)
    shoot(page, f"list-{size}-{dark}")
    assert violations(page) == []
    page.get_by_role("link", name="Signs in as").click() if size == "desk" else None
    page.get_by_role("rowheader").get_by_role("link").first.click()
    expect(page.get_by_role("heading", name="Roles")).to_be_visible()
    shoot(page, f"person-{size}-{dark}")
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth") <= 0
    page.get_by_role("main").get_by_role("link", name="People", exact=True).click()
    assert page.url.endswith("/people/?sort=username" if size == "desk" else "/people/")


def test_what_can_be_pressed_on_a_phone_is_large_enough(open_page: Open) -> None:
    page = open_page("/people/new/", role="owner", size=PHONE)
    for pressed in page.get_by_role("button").all() + page.get_by_role("textbox").all():
        box = pressed.bounding_box()
        assert box is None or box["height"] >= 44, pressed


def test_an_error_leads_to_its_field(open_page: Open, violations: Violations, shoot: Shoot) -> None:
    page = open_page("/people/new/", role="owner", size=PHONE)
    page.get_by_label("First name").fill("Ida")
    page.get_by_role("button", name="Save").click()
    expect(page).to_have_title("Error: Add a person")
    shoot(page, "errors-phone")
    assert violations(page) == []
    page.get_by_role("alert").get_by_role("link").first.click()
    assert page.evaluate("document.activeElement.name") == "last_name"
    expect(page.get_by_label("First name")).to_have_value("Ida")
    described = page.get_by_label("Last name").get_attribute("aria-describedby")
    expect(page.locator(f"#{described}")).to_have_text("Fill this in.")


def test_paper_carries_the_table_the_title_block_and_the_code(open_page: Open) -> None:
    page = open_page("/people/", role="owner")
    pdf = page.pdf(format="A4")
    assert pdf.startswith(b"%PDF")
    page.emulate_media(media="print")
    expect(page.get_by_role("table")).to_be_visible()
    expect(page.locator(".titleblock")).to_be_visible()
    expect(page.get_by_text("These rows as CSV")).to_be_hidden()
    pressed = page.locator("a[href*='/new/'], a[href$='/delete/'], form[method=post] button")
    assert pressed.count()
    assert not any(one.is_visible() for one in pressed.all())
    assert len(reader(pdf).pages) == 1
    said = reader(pdf).pages[0].extract_text()
    assert said.index("Legal owner") < said.index("Role")  # the block heads the sheet, and never stands alone on a last
