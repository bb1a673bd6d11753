"""A sequence somebody tampered with is told to fitter and owner at the next tap, on a phone and on a desk."""

from collections.abc import Callable

import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from shop.jobs.changes.work import finish
from shop.vehicles.changes import take_out
from tests.browser.conftest import DESK, PHONE
from tests.factories.jobs import make_begun_step, make_job_torque, make_step, make_step_need
from tests.factories.measuring import make_specimen, make_torque_spec
from tests.factories.vehicles import make_fitted

pytestmark = pytest.mark.browser

Open = Callable[..., Page]
Shoot = Callable[[Page, str], None]


@pytest.fixture
def swapped(workers):
    """A gearbox bolted on and the step finished; it was taken out again, and a road test is next."""
    bolt = make_begun_step(title="Bolt the gearbox")
    gearbox = make_specimen(mark="A1")
    fitted = make_fitted(vehicle=bolt.job.vehicle, specimen=gearbox)
    make_job_torque(step=bolt, torque_spec=make_torque_spec(component=gearbox.component))
    road = make_step(job=bolt.job, title="Road test", hazard="drives")
    make_step_need(road, bolt)
    now = timezone.now()
    finish(bolt, person=workers["owner"], now=now, go_on_because="figure comes later")
    take_out(fitted, until=timezone.localdate(), person=workers["fitter"], today=timezone.localdate())
    return bolt, road, f"{gearbox} is not in this vehicle any more"


@pytest.mark.parametrize("role", ["fitter", "owner"])
@pytest.mark.parametrize("size", [PHONE, DESK], ids=["phone", "desk"])
def test_the_next_tap_is_told_what_was_swapped(swapped, open_page: Open, shoot: Shoot, role: str, size) -> None:
    bolt, road, cause = swapped
    page = open_page("/", role=role, size=size)
    expect(page.get_by_role("main")).to_contain_text(cause)
    page.get_by_role("link", name="Bolt the gearbox").first.click()
    expect(page.get_by_role("main")).to_contain_text(cause)
    shoot(page, f"tampered-{role}-{size['width']}")
    page.goto(page.url.replace(f"/steps/{bolt.pk}/", f"/steps/{road.pk}/"))
    expect(page.get_by_role("main")).to_contain_text("“Bolt the gearbox”, to be checked again")
    expect(page.get_by_role("button", name="Start", exact=True)).to_have_count(0)
    assert not road.time_entries.exists()
