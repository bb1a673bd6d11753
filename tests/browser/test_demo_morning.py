"""The demo lived through, all of it typed on pages: the buyer chases one late part and switches another, and both
vehicles' forecasts move; a fitter finds on a phone a step that did not have to wait, starts and finishes it.
"""

from collections.abc import Callable
from datetime import date, timedelta

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from shop.demo.world import PASSWORD
from tests.browser.conftest import PHONE
from tests.database import fill_with_demo

pytestmark = pytest.mark.browser

Open = Callable[..., Page]
Shoot = Callable[[Page, str], None]

TARN, VELDRA = "Tarn estate", "Veldra 2.8"


@pytest.fixture
def demo(workers: dict) -> None:  # the people of the other tests go
    fill_with_demo()


def sign_in(page: Page, name: str) -> None:
    page.get_by_label("Name").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()


def go(page: Page, address: str) -> None:
    page.goto("/".join(page.url.split("/")[:3]) + address)


def p80(page: Page, vehicle: str) -> str:
    go(page, "/planning/forecast/")
    return page.get_by_role("row", name=vehicle).first.get_by_role("cell").nth(1).inner_text()


def open_late(page: Page, part: str, vehicle: str) -> None:
    """From the late page, where the row names the vehicle that the part holds, to the line."""
    go(page, "/planning/late/")
    row = page.get_by_role("row", name=part)
    expect(row).to_contain_text(vehicle)
    row.get_by_role("link", name=part).click()


def test_a_morning_of_the_demo(demo: None, open_page: Open, shoot: Shoot) -> None:
    the_buyer_moves_both_forecasts(open_page("/people/sign-in/"), shoot)
    the_fitter_finds_what_need_not_wait(open_page("/people/sign-in/", size=PHONE), shoot)


def the_buyer_moves_both_forecasts(page: Page, shoot: Shoot) -> None:
    sign_in(page, "wren")
    before = {vehicle: p80(page, vehicle) for vehicle in (TARN, VELDRA)}
    page.get_by_text("Assumptions", exact=True).click()
    expect(page.get_by_text("drawn from the shop’s record of")).to_be_visible()

    open_late(page, "Manual gearbox", VELDRA)
    shoot(page, "demo-order")
    page.get_by_role("link", name="Chase by mail").click()
    page.get_by_role("button", name="Send or print").click()
    asked = page.get_by_role("row").filter(has_text="no answer yet; ask again on")
    expect(asked).to_be_visible()
    asked.get_by_role("link", name="log the answer").click()
    page.get_by_label("What was said").fill("not before the autumn")
    page.get_by_label("Answered on").fill(timezone.localdate().isoformat())
    page.get_by_role("button", name="Save").click()
    page.get_by_role("link", name="New date").first.click()
    put_off: date = timezone.localdate() + timedelta(days=320)
    page.get_by_label("Day", exact=True).fill(put_off.isoformat())
    page.get_by_label("In their words").fill("not before the autumn")
    page.get_by_role("button", name="Save").click()
    expect(page.get_by_role("main")).to_contain_text("second date")

    open_late(page, "Flywheel blank", TARN)
    page.get_by_role("link", name="Wait or buy elsewhere").click()
    page.get_by_label("Buy from").select_option("Pellworth Hydraulics")
    page.get_by_label("Its stated lead time, days").fill("6")
    page.get_by_label("Its price each, without tax").fill("195")
    page.get_by_role("button", name="Compare").click()
    expect(page.get_by_text("it is here first in")).to_be_visible()
    expect(page.get_by_text("without tax, EUR").first).to_be_visible()
    shoot(page, "demo-choice")
    page.get_by_label("order from Pellworth Hydraulics and cancel here").check()
    page.get_by_label("Why").fill("the mill is free next week")
    page.get_by_role("button", name="Record decision").click()
    expect(page.get_by_role("main")).to_contain_text("their stated lead time")

    after = {vehicle: p80(page, vehicle) for vehicle in (TARN, VELDRA)}
    shoot(page, "demo-forecast")
    go(page, "/planning/late/")
    # It comes from elsewhere: the order that was late for it is cancelled.
    expect(page.get_by_role("row", name="Flywheel blank")).to_have_count(0)
    assert after[VELDRA] != before[VELDRA], "the gearbox was put off to the autumn"


def the_fitter_finds_what_need_not_wait(page: Page, shoot: Shoot) -> None:
    sign_in(page, "jonas")
    go(page, "/planning/ready/")
    expect(page.get_by_text("Without these parts, now:").first).to_be_visible()
    shoot(page, "demo-ready-phone")
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    button = page.get_by_role("button", name="Start Make up the loom")
    box = button.bounding_box()
    assert box
    assert box["height"] >= 44
    button.click()
    expect(page.get_by_role("main")).to_contain_text("You started at")
    page.get_by_role("button", name="Finish", exact=True).click()
    expect(page.get_by_text("Finished by").first).to_be_visible()
    shoot(page, "demo-finished-phone")
