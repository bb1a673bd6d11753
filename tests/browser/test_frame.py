"""The frame of every page, seen in a browser: sign-in, menu, sizes, colours, paper."""

from collections.abc import Callable

import pytest
from django.contrib.auth.models import User
from playwright.sync_api import Page, expect

from tests.browser.conftest import DESK, PHONE

SIZES = {"desk": DESK, "phone": PHONE}
FRAME_PAGES = ["/", "/people/preferences/", "/people/password/"]
Open = Callable[..., Page]
Violations = Callable[[Page], list[str]]
Shoot = Callable[[Page, str], None]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("dark", [False, True])
def test_frame_pages_have_no_barriers(
    open_page: Open, violations: Violations, shoot: Shoot, size: str, dark: bool
) -> None:
    for address in FRAME_PAGES:
        page = open_page(address, role="owner", size=SIZES[size], dark=dark)
        shoot(page, f"frame{address.replace('/', '-')}{size}-{'dark' if dark else 'light'}")
        assert violations(page) == []
        wide = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, f"{address} is {wide} px too wide"


@pytest.mark.parametrize("scripts", [True, False])
def test_sign_in_and_out(open_page: Open, violations: Violations, shoot: Shoot, scripts: bool) -> None:
    page = open_page("/people/preferences/", size=PHONE, scripts=scripts)
    page.get_by_label("Name").fill("fitter")
    page.get_by_label("Password").fill("wrong")
    page.get_by_role("button", name="Sign in").click()
    expect(page).to_have_title("Error: Sign in")
    expect(page.get_by_role("alert")).to_contain_text("do not go together")
    expect(page.get_by_label("Name")).to_have_value("fitter")
    shoot(page, f"sign-in-wrong-{scripts}")
    page.get_by_label("Password").fill("fitterfitter")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Your preferences")
    page.locator(".you > summary").click()
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Sign in")


def test_keyboard_reaches_the_page_past_the_menu(open_page: Open) -> None:
    page = open_page("/", role="owner")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the page"
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("!!document.activeElement.closest('.head, .pages-of-place')") is False


@pytest.mark.parametrize("scripts", [True, False])
def test_on_a_phone_the_thumb_reaches_every_page(open_page: Open, violations: Violations, scripts: bool) -> None:
    page = open_page("/orders/", role="owner", size=PHONE, scripts=scripts)
    dock = page.get_by_role("navigation", name="At the thumb")
    expect(dock.get_by_role("link")).to_have_text(["Today", "Jobs", "Measure", "Buying", "Search"])
    expect(dock.locator("[aria-current]")).to_have_text(["Buying"])
    box = dock.get_by_role("link", name="Search").bounding_box()
    assert box["height"] >= 44
    assert box["y"] + box["height"] == pytest.approx(PHONE["height"], abs=1)
    dock.get_by_role("link", name="Search").click()
    page.get_by_role("main").get_by_role("link", name="Suppliers").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Suppliers")


def test_on_a_phone_the_head_takes_one_line(open_page: Open) -> None:
    page = open_page("/orders/", role="owner", size=PHONE)
    assert page.locator(".head").bounding_box()["height"] <= 56


def test_at_the_desk_one_place_and_one_page_of_it_are_lit(open_page: Open) -> None:
    page = open_page("/orders/", role="owner")
    places = page.get_by_role("navigation", name="Main")
    expect(places.get_by_role("link")).to_have_text(["Today", "Jobs", "Buying", "Components", "Calculate"])
    expect(places.locator("[aria-current]")).to_have_text(["Buying"])
    pages = page.get_by_role("navigation", name="Pages of this place")
    expect(pages.locator("[aria-current]")).to_have_text(["Orders"])


def test_nothing_moves_when_the_lettering_arrives(open_page: Open) -> None:
    page = open_page("/orders/", role="owner")
    page.evaluate("document.fonts.ready")
    assert page.evaluate("document.fonts.check('1rem Barlow')")
    shifts = page.evaluate(
        "new Promise(done => {let sum = 0; new PerformanceObserver(seen => {"
        "seen.getEntries().forEach(entry => sum += entry.value)}).observe({type: 'layout-shift', buffered: true});"
        "setTimeout(() => done(sum), 300)})"
    )
    assert shifts < 0.02


def test_chosen_theme_holds_against_the_device(open_page: Open, workers: dict[str, User]) -> None:
    page = open_page("/people/preferences/", role="owner")
    light = page.evaluate("getComputedStyle(document.querySelector('.head')).backgroundColor")
    page.get_by_label("Dark").check()
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("status")).to_contain_text("Saved")
    dark = page.evaluate("getComputedStyle(document.querySelector('.head')).backgroundColor")
    assert dark != light


def test_paper_is_black_on_white_with_a_code_and_nothing_to_press(open_page: Open) -> None:
    page = open_page("/people/preferences/", role="owner", dark=True)
    page.emulate_media(media="print")
    ink = page.evaluate("getComputedStyle(document.querySelector('h1')).color")
    assert ink == "rgb(0, 0, 0)"
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(255, 255, 255)"
    expect(page.locator(".titleblock .code svg")).to_be_visible()
    for gone in (".dock", ".pages-of-place", ".head", "button"):
        assert not page.locator(f"{gone} >> visible=true").count(), gone


def test_a_slash_goes_to_the_search_box_but_not_while_typing(open_page: Open) -> None:
    page = open_page("/orders/", role="owner")
    page.keyboard.press("/")
    expect(page.locator("#seek")).to_be_focused()
    page.keyboard.type("1/2 in")
    expect(page.locator("#seek")).to_have_value("1/2 in")


def test_search_works_without_scripts(open_page: Open) -> None:
    page = open_page("/orders/", role="owner", scripts=False)
    page.locator("#seek").fill("owner")
    page.locator("#seek").press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Search")
    expect(page.locator("main .list").first).to_be_visible()


def test_what_is_found_has_no_barriers(open_page: Open, violations: Violations, shoot: Shoot) -> None:
    for size, dark in ((DESK, False), (PHONE, True)):
        page = open_page("/search/?q=fitter", role="owner", size=size, dark=dark)
        shoot(page, f"search-found-{'phone' if dark else 'desk'}")
        assert violations(page) == []
