"""A shop from nothing, pressed in Chromium on a phone and at a desk: each role's first hour, led by Today alone."""

import re
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

from shop.jobs.models import Job, TimeEntry
from shop.orders.models import Delivery, Order
from shop.vehicles.models import Customer, Vehicle
from shop.worksheets.models import AcceptedRecord, Worksheet
from specs.models import Component, HolePattern, Measurement

pytestmark = pytest.mark.desk
SIZES = {"phone": {"width": 390, "height": 844}, "desk": {"width": 1440, "height": 900}}
Open = Callable[..., Page]


class Hand:
    """Somebody at a page: opens Today, follows links, types and presses, and meets no page that is too wide."""

    def __init__(self, page: Page, shoot: Callable[[Page, str], None]) -> None:
        self.page, self.shoot, self.main = page, shoot, page.get_by_role("main")

    def today(self) -> None:
        self.page.goto("/")

    def begin(self, what: str) -> None:
        """Follow what Today leads a beginner to: its act, or on a phone its name."""
        row = self.main.locator("li").filter(has_text=what).first
        self._go(row.locator("a:visible").first)

    def follow(self, words: str) -> None:
        self._go(self.main.get_by_role("link", name=words).first)

    def keep(self, name: str) -> None:
        """Keep a picture of the page under a name and its width."""
        self.shoot(self.page, f"first-hour-{name}-{(self.page.viewport_size or {})['width']}")

    def press(self, words: str) -> None:
        self._go(self.main.get_by_role("button", name=words, exact=True).first)
        expect(self.page.locator(".errors")).to_have_count(0)

    def type(self, **typed: str) -> None:
        for name, text in typed.items():
            box = self.main.locator(f'[name="{name}"]')
            if box.evaluate("one => one.tagName") == "SELECT":
                box.select_option(text)
            else:
                box.fill(text)

    def _go(self, what: Locator) -> None:
        what.click()
        self.page.wait_for_load_state()
        wide = self.page.evaluate("document.documentElement.scrollWidth - innerWidth")
        assert wide <= 0, f"{self.page.url} is {wide} px too wide"


@pytest.fixture(params=SIZES)
def hand(request: Any, open_page: Open, shoot: Any) -> Callable[[str], Hand]:
    return lambda role: Hand(open_page("/", role=role, size=SIZES[request.param]), shoot)


def enter_a_component(someone: Hand) -> None:
    someone.today()
    someone.begin("First component measured")
    someone.type(kind="engine", maker="Tarn", name="V6")
    someone.press("Save")
    someone.follow("Add dimension")
    someone.type(name="Pilot bore depth", kind="length", datum="crank flange")
    someone.press("Save")
    someone.follow("Measure")
    someone.main.get_by_label("Pilot bore depth").fill("24.6 mm")
    someone.main.get_by_label("Tolerance ±").fill("0.02 mm")
    someone.type(instrument="depth gauge 2")
    someone.press("Keep this reading")


def enter_a_vehicle_and_a_job(someone: Hand) -> None:
    someone.today()
    someone.begin("First vehicle")
    someone.follow("Add the first customer")
    someone.type(name="Ida Fenn")
    someone.press("Save")
    someone.follow("Add vehicle")
    someone.type(maker="Brightwell", model="Tarn estate", registration="KX 471-B")
    someone.press("Save")
    someone.follow("Add job")
    someone.type(title="Five-speed behind the V6")
    someone.press("Save")
    someone.follow("Add steps from a template")
    someone.follow("Job templates")
    someone.press("Add the job templates that come with the shop")
    someone.page.goto(Job.objects.get().get_absolute_url())
    someone.follow("Add steps from a template")
    someone.type(template="Propshaft and mounts")
    someone.press("Add steps")


def test_the_owner_sets_the_shop_up_and_the_fitter_begins_to_work(hand: Callable[[str], Hand]) -> None:
    owner = hand("owner")
    owner.begin("Shop name and address")
    owner.type(postal_address="4 Mill Yard\nLinnet Bridge")
    owner.press("Save")
    enter_a_component(owner)
    enter_a_vehicle_and_a_job(owner)
    assert Measurement.objects.get().dimension.component == Component.objects.get()
    assert Vehicle.objects.get().customer == Customer.objects.get()
    assert Job.objects.get().steps.count() == 17
    owner.today()
    owner.keep("owner")
    expect(owner.main.locator(".name", has_text="First order")).to_be_visible()
    expect(owner.main.get_by_role("link", name="Enter")).to_have_count(0)
    fitter = hand("fitter")
    fitter.main.get_by_role("button", name=re.compile("^Start")).first.click()
    fitter.page.wait_for_load_state()
    fitter.keep("fitter")
    assert TimeEntry.objects.running().count() == 1


def test_the_machinist_measures_types_a_pattern_and_keeps_a_worksheet(hand: Callable[[str], Hand]) -> None:
    machinist = hand("machinist")
    enter_a_component(machinist)
    machinist.page.goto(Component.objects.get().get_absolute_url())
    machinist.follow("Type")
    machinist.type(face="rear face", datum="crank axis", seen_from="gearbox", instrument="milling machine")
    for at, (name, x, y) in enumerate((("A", "-100", "0"), ("B", "100", "0"), ("C", "0", "120"))):
        for column, text in {"name": name, "x": x, "y": y, "diameter": "12"}.items():
            machinist.main.locator(f'[name="holes.{column}"]').nth(at).fill(text)
    machinist.type(known_to="0.05 mm")
    machinist.press("Keep this pattern")
    assert HolePattern.objects.get().holes.count() == 3
    machinist.page.goto(Component.objects.get().get_absolute_url())
    machinist.follow("Add worksheet")
    machinist.type(calculation="Torque wrench with an adapter")
    machinist.press("Go on to its inputs")
    machinist.type(title="Wrench, bellhousing", **{"in-target": "100", "in-wrench_length": "400", "in-extension": "50"})
    machinist.press("Add worksheet")
    machinist.keep("machinist")
    machinist.press("Accept today's result")
    expect(machinist.main.get_by_text("Same as accepted")).to_be_visible()
    assert AcceptedRecord.objects.get().worksheet == Worksheet.objects.get()


def test_the_buyer_orders_from_a_first_supplier_and_records_what_came(hand: Callable[[str], Hand]) -> None:
    buyer = hand("buyer")
    buyer.begin("First order")
    buyer.follow("Add the first supplier")
    buyer.type(name="Quill Gearings", phone="+44 1632 960 199")
    buyer.press("Save")
    buyer.follow("Add order")
    buyer.type(**{"lines-0-text": "clutch kit 240 mm", "lines-0-quantity": "2", "lines-0-price": "142"})
    buyer.press("Save")
    order = Order.objects.get()
    buyer.keep("buyer")
    buyer.follow("Record delivery")
    buyer.type(**{f"line_{order.lines.get().pk}": "1", "note": "DN 4471"})
    buyer.keep("delivery")
    buyer.press("Save")
    assert Delivery.objects.get().quantity == 1
    buyer.follow("Record delivery")
    buyer.press("All of it came")
    assert sum(Delivery.objects.values_list("quantity", flat=True)) == 2
    expect(buyer.main).to_contain_text("0 of 1 line")
