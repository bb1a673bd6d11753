"""Every act by key: what Tab reaches can be seen, nothing holds it, and the few keys besides do what the help says."""

import os
from collections.abc import Callable

import pytest
from django.contrib.auth.models import User
from playwright.sync_api import Page, expect

from tests.browser.conftest import PHONE
from tests.browser.tab_stops import unreached
from tests.factories.jobs import make_step, make_template
from tests.factories.orders import make_line

Open = Callable[..., Page]


TABBED = ["/", "/orders/", "/jobs/steps/", "/jobs/new/", "/calculate/thread-engagement/"]


@pytest.mark.parametrize("address", TABBED[:: 2 if os.environ.get("CI") == "true" else 1])
def test_tab_meets_everything_and_is_seen_where_it_stands(open_page: Open, address: str) -> None:
    for number in range(20):
        make_step(title=f"Step {number}")
        make_line()
    assert unreached(open_page(address, role="owner")) == []


def test_tab_shows_more_than_the_first_line_of_a_tall_field(open_page: Open) -> None:
    step = make_template().steps.all()[0]
    page = open_page(f"/jobs/templates/steps/{step.pk}/edit/", role="owner")
    field = page.locator("textarea[name=checks]")
    field.evaluate("field => { field.rows = 40; field.focus(); }")
    page.keyboard.press("Shift+Tab")
    page.evaluate("scrollTo(0, 0)")
    height = int(field.evaluate("field => field.getBoundingClientRect().top")) + 40
    page.set_viewport_size({"width": 1280, "height": height})
    page.keyboard.press("Tab")
    expect(field).to_be_focused()
    assert height - field.evaluate("field => field.getBoundingClientRect().top") > 80


def test_the_help_key_leads_to_the_page_and_to_the_list_of_keys(open_page: Open) -> None:
    page = open_page("/jobs/steps/", role="fitter")
    page.keyboard.press("?")
    page.wait_for_url("**/help/jobs/#**")
    page.get_by_role("link", name="Keys").press("Enter")
    expect(page.get_by_role("region", name="Keys")).to_contain_text("to the search box")


def test_who_turned_the_keys_off_presses_them_in_vain(open_page: Open, workers: dict[str, User]) -> None:
    page = open_page("/people/preferences/", role="fitter")
    page.get_by_label("the key / goes to the search box").uncheck()
    page.get_by_role("button", name="Save").click()
    page.goto("/jobs/steps/")
    for key in ("/", "?"):
        page.keyboard.press(key)
    assert page.evaluate("document.activeElement === document.body")
    assert page.url.endswith("/jobs/steps/")


def test_keys_are_letters_while_somebody_types(open_page: Open) -> None:
    page = open_page("/jobs/lessons/new/", role="fitter")
    box = page.get_by_role("textbox").and_(page.locator("main *")).first
    box.press_sequentially("why? 1/2")
    expect(box).to_have_value("why? 1/2")


def test_a_form_is_sent_from_a_field_of_several_lines(open_page: Open) -> None:
    page = open_page("/vehicles/customers/new/", role="owner")
    page.get_by_role("textbox", name="Name", exact=True).fill("Ida Fenn")
    page.locator("main textarea").last.press("Control+Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Ida Fenn")


def test_ticked_rows_are_acted_on_and_left_by_key(open_page: Open) -> None:
    step = make_step(title="Fit the plate")
    page = open_page("/jobs/steps/", role="owner")
    tick = page.get_by_role("checkbox", name="Fit the plate")
    tick.press("Space")
    tick.press("Enter")
    first = page.get_by_role("form", name="Ticked rows").get_by_role("button").first
    expect(first).to_be_focused()
    page.keyboard.press("Escape")
    expect(tick).to_be_focused()
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    expect(page.get_by_role("main")).to_contain_text(step.title)
    assert page.url.endswith("/bulk/jobs.step/")


def test_the_menu_under_a_name_opens_and_closes_by_key(open_page: Open) -> None:
    page = open_page("/", role="owner", size=PHONE)
    summary = page.locator("details.you > summary")
    summary.press("Enter")
    page.keyboard.press("Tab")
    expect(page.locator("details.you nav a").first).to_be_focused()
    page.keyboard.press("Escape")
    expect(summary).to_be_focused()
    expect(page.locator("details.you")).not_to_have_attribute("open", "")
    summary.press("Enter")
    page.keyboard.press("Shift+Tab")
    expect(page.locator("details.you")).not_to_have_attribute("open", "")
