"""The torques of a vehicle: every job's, a figure only where one is approved, and who signed."""

import pytest

from tests.factories.jobs import make_job, make_job_torque, make_sign_off, make_step
from tests.factories.measuring import make_torque_spec
from tests.factories.print import make_printed
from tests.factories.vehicles import make_vehicle
from tests.pages import collapsed
from tests.pdfs import text_of
from tests.shop.print.test_torque_sheets import FIGURE

pytestmark = pytest.mark.django_db


def test_it_lists_the_torques_of_all_jobs_signed_or_not():
    vehicle = make_vehicle()
    for title in ("Five-speed", "Propshaft"):
        step = make_step(job=make_job(vehicle=vehicle, title=title))
        torque = make_job_torque(step=step, torque_spec=make_torque_spec(place=f"{title} bolts", **FIGURE))
        if title == "Five-speed":
            make_sign_off(step=step, torque=torque, what="x", value=45.0, value_typed="45 N·m", specified_value=45.0)
    make_job_torque(step=step, torque_spec=make_torque_spec(place="nobody knows", published_torque=None))
    said = text_of(bytes(make_printed("torque-list", vehicle).pdf))
    for words in ("Five-speed bolts", "Propshaft bolts", "45 N·m", "Signed: 45 N·m", "do not tighten"):
        assert words in said


def test_a_vehicle_without_torques_says_so_and_its_page_leads_here(fitter):
    vehicle = make_vehicle()
    assert "No torque is on record" in text_of(bytes(make_printed("torque-list", vehicle).pdf))
    assert f"/print/new/torque-list/{vehicle.pk}/" in collapsed(fitter.get(vehicle.get_absolute_url()))
