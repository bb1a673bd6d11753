"""Pages of a vehicle."""

from datetime import date

import pytest
from django.utils import timezone

from shop.jobs.models import SetAside
from shop.vehicles.models import Vehicle
from tests.factories.jobs import make_job, make_step
from tests.factories.measuring import make_specimen
from tests.factories.people import make_person
from tests.factories.vehicles import make_customer, make_fitted, make_vehicle
from tests.pages import collapsed, press
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


MARK = {"once": "a-mark-that-a-form-was-given-0001"}


def test_a_vehicle_page_shows_what_is_fitted_beside_what_was_before(fitter):
    vehicle = make_vehicle()
    make_fitted(vehicle=vehicle, specimen=make_specimen(mark="NOW-1"), since=date(2026, 3, 2))
    make_fitted(vehicle=vehicle, specimen=make_specimen(mark="OLD-1"), until=date(2026, 3, 1))
    job = make_job(vehicle=vehicle)
    SetAside.objects.create(job=job, specimen=make_specimen(mark="SHELF-1"), lies_in="shelf C3")
    words = collapsed(fitter.get(f"/vehicles/{vehicle.pk}/"))
    for expected in ("NOW-1", "since 2 Mar 2026", "OLD-1", "until 1 Mar 2026", "SHELF-1", "shelf C3", "no steps yet"):
        assert expected in words.replace("No steps", "no steps")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"year": "1066"}, "year"),
        ({"year": "20226"}, "year"),
        ({"year": "next"}, "year"),
        ({"maker": ""}, "maker"),
        ({"customer": "999999"}, "customer"),
        ({"registration": "x" * 21}, "registration"),
    ],
)
def test_bad_input_is_refused_beside_its_field_and_kept(fitter, changes, field):
    form = {
        "customer": make_customer().pk,
        "maker": "Brightwell",
        "model": "Tarn",
        "year": "",
        "registration": "",
        "vin": "",
    }
    words = fitter.post("/vehicles/new/", form | changes | MARK).content.decode()
    assert f'id="id_{field}_error"' in words
    assert 'value="Tarn"' in words
    assert not Vehicle.objects.exists()


def test_the_list_counts_steps_to_do_and_costs_the_same_for_one_row_and_twenty(fitter):
    make_step(job=make_job(vehicle=make_vehicle(model="First")))
    few = len(queries_of(fitter, "/vehicles/"))
    for _ in range(19):
        job = make_job(vehicle=make_vehicle())
        make_step(job=job)
        make_step(job=job, deleted_at=timezone.now(), deleted_reason="not needed")
        make_step(job=job, finished_at=timezone.now(), finished_by=make_person())
    assert len(queries_of(fitter, "/vehicles/")) == few
    assert Vehicle.objects.for_list().filter(steps_to_do=1).count() == 20


def test_a_vehicle_with_a_job_says_why_it_is_not_deleted(fitter):
    job = make_job()
    words = fitter.post(f"/vehicles/{job.vehicle_id}/delete/", {"reason": "sold"} | MARK).content.decode()
    assert "Delete the job first." in words


def test_a_vehicle_is_edited_on_its_page(fitter):
    vehicle = make_vehicle()
    sent = {"customer": vehicle.customer_id, "maker": vehicle.maker, "model": "Tarn saloon"}
    press(fitter, f"/vehicles/{vehicle.pk}/edit/", **sent)
    vehicle.refresh_from_db()
    assert vehicle.model == "Tarn saloon"


def test_a_form_says_what_may_stay_empty_and_what_to_choose(fitter, owner):
    page = collapsed(owner.get("/vehicles/new/"))
    assert page.count("Optional.") == 4  # model year, registration, chassis number, notes
    assert "Optional. As on the plate; spaces do not matter." in page
    assert '<option value="" selected>choose</option>' in page
    part = collapsed(owner.get(f"/jobs/steps/{make_step().pk}/parts/new/"))
    assert "Optional" not in part  # words or a component: one of the two is asked for
