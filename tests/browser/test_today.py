"""From the first page to the act: what a row of Today leads to, pressed at a desk and tapped on a phone."""

import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from shop.jobs.changes.steps import add_worksheet_need
from tests.browser.conftest import PHONE
from tests.factories.jobs import make_part_need, make_regulated_item, make_step
from tests.factories.people import make_person
from tests.factories.plate import make_plate

pytestmark = pytest.mark.browser

Open = Callable[..., Page]


def test_the_owner_opens_what_has_no_approval_and_finds_it_unfolded(open_page: Open) -> None:
    item = make_regulated_item(what="handbrake cable moved")
    page = open_page("/", role="owner")
    page.get_by_role("link", name=re.compile("Open.*Approvals")).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text(item.job.title)
    expect(page.get_by_text("handbrake cable moved", exact=True)).to_be_visible()
    expect(page.get_by_role("link", name="Record an approval")).to_be_in_viewport()


def test_the_machinist_taps_the_plate_and_is_told_not_to_cut_it_before_it_is_printed(open_page: Open) -> None:
    step = make_step(title="Make the plate", role="machinist")
    add_worksheet_need(step=step, worksheet=make_plate(), person=make_person(roles=["owner"]))
    page = open_page("/", role="machinist", size=PHONE)
    page.get_by_role("link", name="Adapter plate Orvane V6 to Teskel QZ-5", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Set-up sheets")
    expect(page.get_by_text("Do not cut yet.")).to_be_visible()
    expect(page.get_by_role("button", name="Print")).to_be_visible()


@pytest.mark.parametrize("role", ["fitter", "buyer"])
def test_what_is_to_be_ordered_is_read_by_who_may_not_order_too(open_page: Open, role: str) -> None:
    make_part_need(text="clutch cover bolts, new")
    page = open_page("/planning/to-order/", role=role)
    box = page.locator(".ticks label").first.bounding_box()
    assert box is not None
    assert box["width"] > 600
    assert box["height"] < 80
