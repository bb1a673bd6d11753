"""A fitter with a phone at the bench: finds a step, starts, pauses and finishes it; signs a fastener set."""

import os
import re
from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from shop.jobs.models import SignOff, TimeEntry
from tests.browser.conftest import PHONE
from tests.factories.jobs import make_job, make_job_torque, make_lesson, make_part_need, make_step, make_step_need
from tests.factories.vehicles import make_fitted

pytestmark = pytest.mark.browser

Open = Callable[..., Page]
Errors = Callable[..., list[str]]
Shoot = Callable[[Page, str], None]


def make_bench():
    """A job with one step ready and one that waits for it and for a part."""
    job = make_job(title="Five-speed")
    strip = make_step(job=job, title="Strip the vehicle", text="- battery off\n- drain", cautions="On stands.")
    trial = make_step(job=job, title="Trial fit")
    make_step_need(trial, strip)
    make_part_need(step=trial, text="clutch kit")
    make_lesson(learned_at=strip)
    make_fitted(vehicle=job.vehicle)
    return job, strip, trial


@pytest.mark.parametrize("scripts", [True, False])
def test_a_step_is_found_started_paused_and_finished(workers, open_page: Open, shoot: Shoot, scripts: bool) -> None:
    make_bench()
    page = open_page("/jobs/", role="fitter", size=PHONE, scripts=scripts)
    page.get_by_role("link", name="Five-speed").click()
    page.get_by_role("link", name="Strip the vehicle").first.click()
    for tap, told in (("Start", "You started at"), ("Pause", "Begun, and ready"), ("Finish", "Finished by")):
        button = page.get_by_role("button", name=tap, exact=True)
        box = button.bounding_box()
        assert box
        assert box["height"] >= 44
        button.click()
        expect(page.get_by_role("main")).to_contain_text(told)
        shoot(page, f"bench-{tap.lower()}-{scripts}")
    assert TimeEntry.objects.counted().count() == 1


def test_a_double_tap_on_the_phone_writes_once(workers, open_page: Open) -> None:
    _, strip, _ = make_bench()
    page = open_page(f"/jobs/steps/{strip.pk}/", role="fitter", size=PHONE)
    page.get_by_role("button", name="Start").dblclick()
    expect(page.get_by_role("main")).to_contain_text("You started at")
    assert TimeEntry.objects.count() == 1


def test_a_waiting_step_says_on_what_and_leads_to_what_can_be_done(workers, open_page: Open, shoot: Shoot) -> None:
    _, _, trial = make_bench()
    page = open_page(f"/jobs/steps/{trial.pk}/", role="fitter", size=PHONE)
    expect(page.get_by_role("main")).to_contain_text("clutch kit, not ordered yet")
    expect(page.get_by_role("main")).to_contain_text("Whoever goes on says why.")
    shoot(page, "bench-waits")
    page.get_by_role("link", name="Strip the vehicle").first.click()
    expect(page.get_by_role("button", name="Start")).to_be_visible()


def test_a_fastener_set_is_signed_off_with_the_keyboard(workers, open_page: Open, shoot: Shoot) -> None:
    _, strip, _ = make_bench()
    make_job_torque(step=strip)
    page = open_page(f"/jobs/steps/{strip.pk}/", role="fitter", size=PHONE)
    page.get_by_role("button", name="Start", exact=True).press("Enter")
    page.get_by_role("link", name=re.compile("Sign off ?: Bellhousing")).press("Enter")
    page.get_by_label("Tightened to").fill("63 lbf ft")
    page.get_by_label("With which wrench").fill("wrench 2")
    shoot(page, "bench-sign")
    page.get_by_role("button", name="Sign this tightening").press("Enter")
    expect(page.get_by_role("main")).to_contain_text("no second person yet")
    assert SignOff.objects.get().value_typed == "63 lbf ft"


def test_the_pages_of_the_area_have_no_barriers(workers, open_page: Open, faults_of: Errors) -> None:
    job, strip, trial = make_bench()
    make_job_torque(step=strip)
    page = open_page("/jobs/", role="fitter", size=PHONE)
    for address in (
        "/jobs/",
        f"/jobs/{job.pk}/",
        f"/jobs/steps/{strip.pk}/",
        f"/jobs/steps/{trial.pk}/",
        f"/jobs/steps/{strip.pk}/hours/new/",
        f"/vehicles/{job.vehicle_id}/",
        "/vehicles/customers/",
        "/jobs/lessons/",
    )[:: 2 if os.environ.get("CI") == "true" else 1]:
        page.goto(address)
        assert faults_of(page, address.strip("/").replace("/", "-")) == [], address
