"""The main pages of the demo under each hand: what is pressed, 400 %, paper, the Tab key, both themes, without scripts.

At the gate three of them; all: ``python -m pytest -m desk tests/browser/test_main_pages.py``.
"""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from io import BytesIO
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.urls import reverse
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from shop.calculate.address import as_address
from specs.engine.question import questions
from tests.browser.conftest import LOOKS, session_of
from tests.browser.pressed import COARSE, FINE, cut_at_400_per_cent, left_on_paper, too_small
from tests.browser.tab_stops import unreached
from tests.database import fill_with_demo

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

FITTER, MACHINIST, BUYER, OWNER = "jonas", "tibor", "wren", "hedda"
HOLDS = "will-this-clutch-hold"
WIDE, NARROW = {"width": 1440, "height": 900}, {"width": 390, "height": 844}
# Who opens it, its address by name, the record's number in the demo.
PAGES: dict[str, tuple[str, str, list[Any]]] = {
    "today of the fitter": (FITTER, "home:today", []),
    "job": (OWNER, "jobs:job", [1]),
    "orders": (BUYER, "orders:orders", []),
    "today of the machinist": (MACHINIST, "home:today", []),
    "today of the buyer": (BUYER, "home:today", []),
    "today of the owner": (OWNER, "home:today", []),
    "step": (FITTER, "jobs:step", [14]),
    "component": (FITTER, "measuring:component", [2]),
    "dimension": (FITTER, "measuring:dimension", [9]),
    "worksheet": (FITTER, "worksheets:worksheet", [1]),
    "worksheets": (FITTER, "worksheets:worksheets", []),
    "question": (FITTER, "calculate:question", [HOLDS]),
    "calculation": (FITTER, "calculate:calculation", ["clutch-capacity"]),
    "order": (BUYER, "orders:order", [60]),
    "forecast": (OWNER, "planning:forecast", []),
    "late": (BUYER, "planning:late", []),
    "ready": (FITTER, "planning:ready", []),
    "search": (FITTER, "home:search", []),
    "vehicle": (OWNER, "vehicles:vehicle", [1]),
    "supplier": (BUYER, "orders:supplier", [2]),
}
AT_THE_GATE = list(PAGES)[:1]
Looks = Callable[[Page, str], list[str]]


def address(name: str) -> str:
    _, view, parts = PAGES[name]
    asked = {"search": "?q=Teskel", "question": f"?{as_address(questions()[HOLDS].example).urlencode()}"}
    return reverse(view, args=parts) + asked.get(name, "")


@contextmanager
def opened(chromium: Browser, site: Any, person: str, **options: Any) -> Iterator[tuple[Page, list[str]]]:
    """A page signed in as one of the demo's people, and what the browser complains of."""
    context = chromium.new_context(base_url=site.url, **options)
    context.add_cookies([session_of(User.objects.get(username=person), site.url)])
    page, complaints = context.new_page(), []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    yield page, complaints
    context.close()


@pytest.fixture
def at_a_desk(violations: Any, shoot: Any) -> Looks:
    def look(page: Page, name: str) -> list[str]:
        shoot(page, f"{name}-1440")
        found = [*violations(page), *too_small(page, FINE), *cut_at_400_per_cent(page), *left_on_paper(page)]
        page.emulate_media(color_scheme="dark")
        return [*found, *violations(page, LOOKS)]

    return look


@pytest.fixture
def under_a_thumb(violations: Any, shoot: Any) -> Looks:
    def look(page: Page, name: str) -> list[str]:
        shoot(page, f"{name}-390")
        found = [*violations(page, LOOKS), *too_small(page, COARSE)]
        page.emulate_media(color_scheme="dark")
        return [*found, *violations(page, LOOKS)]

    return look


@pytest.mark.parametrize(
    "names",
    [pytest.param(AT_THE_GATE, id="some"), pytest.param(list(PAGES)[1:], id="the others", marks=pytest.mark.desk)],
)
def test_main_pages_serve_every_hand(
    names: list[str], chromium: Browser, live_server: Any, at_a_desk: Looks, under_a_thumb: Looks
) -> None:
    fill_with_demo()
    thumb = {"viewport": NARROW, "has_touch": True, "is_mobile": True}
    faults = []
    for person in dict.fromkeys(PAGES[name][0] for name in names):
        for options, looks in (({"viewport": WIDE}, at_a_desk), (thumb, under_a_thumb)):
            with opened(chromium, live_server, person, **options) as (page, complaints):
                for name in (one for one in names if PAGES[one][0] == person):
                    page.emulate_media(color_scheme="light")
                    page.goto(address(name))
                    faults += [f"{name}, {page.viewport_size['width']} px: {one}" for one in looks(page, name)]
            faults += complaints
    assert faults == []


@pytest.mark.desk
def test_the_tab_key_meets_all_that_is_pressed_with_a_ring(chromium: Browser, live_server: Any) -> None:
    fill_with_demo()
    faults = []
    for name, (person, _, _) in PAGES.items():
        with opened(chromium, live_server, person, viewport=WIDE) as (page, _):
            page.goto(address(name))
            faults += [f"{name} by Tab: {one}" for one in unreached(page)]
    assert faults == []


@pytest.mark.desk
def test_main_pages_are_printed_without_what_is_pressed(chromium: Browser, live_server: Any) -> None:
    fill_with_demo()
    faults = []
    for name, (person, _, _) in PAGES.items():
        with opened(chromium, live_server, person) as (page, _):
            page.goto(address(name))
            acts = set(page.locator("main button:visible, main .button:visible").all_inner_texts())
            sheets = PdfReader(BytesIO(page.pdf(format="A4"))).pages
            lines = {line.strip() for sheet in sheets for line in sheet.extract_text().splitlines()}
            titles = set(page.get_by_role("heading").all_inner_texts())  # a search is headed by its button's word
            faults += [f"{name} prints {act}" for act in (acts & lines) - (titles if name == "search" else set())]
            faults += [] if any(page.get_by_role("heading", level=1).inner_text() in line for line in lines) else [name]
    assert faults == []


@pytest.mark.desk
def test_acts_of_main_pages_work_without_scripts(chromium: Browser, live_server: Any) -> None:
    fill_with_demo()
    plain = {"viewport": NARROW, "java_script_enabled": False}
    with opened(chromium, live_server, FITTER, **plain) as (page, _):
        page.goto("/")
        page.get_by_role("button", name="Continue Checks by hand before it runs").click()
        expect(page.get_by_role("button", name="Pause")).to_be_visible()
        page.goto(address("worksheet"))
        page.get_by_label("Reason").fill("the cover's maker was asked")
        page.get_by_role("button", name="Accept all the same").click()
        page.get_by_role("link", name="Accepted results").click()
        expect(page.get_by_role("main")).to_contain_text("the cover's maker was asked")
        page.goto(address("question"))
        page.locator("summary", has=page.get_by_role("heading", name="Inputs")).click()
        page.get_by_label("Greatest engine torque").fill("900")
        page.get_by_role("button", name="Work it out").last.click()
        expect(page.get_by_role("main")).to_contain_text("the engine gives 900 N·m")
    # On a phone a late order's row leads to the order, at a desk its button to the form.
    with opened(chromium, live_server, BUYER, **{**plain, "viewport": WIDE}) as (page, _):
        page.goto("/")
        page.locator("section", has=page.get_by_role("heading", name="Chase today")).get_by_role("link").last.click()
        expect(page.get_by_role("heading", level=1)).to_contain_text("Chase")
        page.goto("/search/")
        page.get_by_role("main").get_by_role("searchbox").fill("Teskel")
        page.get_by_role("main").get_by_role("button", name="Search").click()
        expect(page.get_by_role("main")).to_contain_text("Teskel QZ-5")
