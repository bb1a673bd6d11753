"""Ticked rows in Chromium: 200 of which three moved, and every act of every list on a phone, with its one undo."""

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.utils import timezone
from playwright.sync_api import Page, expect

from shop.base.bulk import bulk_lists
from shop.jobs.models import Step
from tests.browser.conftest import PHONE
from tests.factories.jobs import make_job, make_step
from tests.factories.planning import in_days
from tests.shop.home.test_bulk_every_act import ROWS

pytestmark = pytest.mark.desk
Open = Callable[..., Page]
ACTS = [(name, act.name, act.words) for name, one in bulk_lists().items() for act in one.acts]


def test_of_200_ticked_rows_the_three_that_moved_are_named_and_the_others_undone(
    open_page: Open, workers: dict[str, User], shoot: Any
) -> None:
    job = make_job()
    steps = [make_step(job=job, title=f"Step {number}") for number in range(200)]
    page = open_page("/jobs/steps/", role="owner")
    page.get_by_role("link", name="200 a page").click()
    page.get_by_role("link", name="Tick all 200").click()
    page.wait_for_url("**ticked=all**")
    for step in steps[:3]:
        step.cautions = "Hot."
        step.save()
    page.get_by_role("button", name="Assign", exact=True).click()
    page.get_by_label("Assigned to").select_option(str(workers["fitter"].pk))
    page.get_by_role("button", name="Assign", exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Assign: 197 of 200 done")
    shoot(page, "bulk-197-of-200")
    left = page.locator("main ul.lines li")
    expect(left).to_have_count(3)
    assert {words.partition(":")[0] for words in left.all_inner_texts()} == {str(step) for step in steps[:3]}
    assert Step.objects.filter(person=workers["fitter"]).count() == 197
    page.get_by_role("button", name="Undo all 197").click()
    expect(page.get_by_text("Undone by")).to_be_visible()
    assert not Step.objects.exclude(person=None).exists()


def answer(page: Page, fitter: User) -> None:
    """Fill in whatever an act asks."""
    today = timezone.localdate().isoformat()
    typed = {"on": today, "given_on": today, "day": in_days(20).isoformat(), "note": "the shelf", "reason": "twice"}
    for name, text in typed.items():
        box = page.locator(f'main [name="{name}"]')
        if box.count():
            box.fill(text)
    if page.locator('main [name="person"]').count():
        page.locator('main [name="person"]').select_option(str(fitter.pk))


@pytest.mark.parametrize(("name", "act", "words"), ACTS, ids=[f"{name}-{act}" for name, act, _ in ACTS])
def test_every_act_is_done_and_undone_on_a_phone(
    open_page: Open, workers: dict[str, User], violations: Any, name: str, act: str, words: str
) -> None:
    address, make = ROWS[name]
    for _ in range(3):
        make()
    page = open_page(address, role="owner", size=PHONE)
    ticks = page.locator('main [name="row"]')
    expect(ticks).to_have_count(3)
    ticks.nth(0).check()
    ticks.nth(2).check()
    page.locator(f'.bulk button[value="{act}"]').click()
    answer(page, workers["fitter"])
    assert violations(page) == []
    page.locator("main").get_by_role("button", name=str(words), exact=True).click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("2 of 2 done")
    page.get_by_role("button", name="Undo all 2").click()
    expect(page.get_by_text("Undone by")).to_be_visible()
    expect(page.get_by_role("heading", name="Could not be undone")).to_have_count(0)
    page.get_by_role("link", name="Back to the list").click()
    expect(page.locator('main [name="row"]')).to_have_count(3)
