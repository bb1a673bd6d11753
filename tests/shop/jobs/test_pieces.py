"""A piece is in one place, whichever page says so; what was signed and driven rests on the pieces that were there."""

from datetime import timedelta

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.jobs.changes.jobs import fit_set_aside, return_from_set_aside, set_aside
from shop.jobs.changes.proof import Statement, confirm_sign_off, sign_tightened
from shop.jobs.changes.work import finish, reopen
from shop.jobs.models import Job, SignOff, Step
from shop.jobs.network import network
from shop.jobs.standing import done_jobs
from shop.vehicles.changes import delete_fitted, fit, take_out
from shop.vehicles.models import Fitted
from specs.engine.parsing import read
from specs.engine.units import TORQUE
from tests.factories.jobs import make_begun_step, make_job, make_job_torque, make_step, make_step_need
from tests.factories.measuring import make_component, make_specimen
from tests.factories.vehicles import make_fitted, make_vehicle
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


def now():
    return timezone.now()


def today():
    return timezone.localdate()


def words(step):
    return network(Job.objects.get(pk=step.job_id), today()).statuses[step.pk].words


@pytest.fixture
def assembly(people):
    """A finished assembly with a signed and seen torque; a flywheel was set aside for it, a road test follows."""
    step = make_begun_step(title="Final assembly")
    flywheel = make_specimen(component=make_component(name="V6-30 flywheel"), mark="FW-2")
    aside = set_aside(job=step.job, specimen=flywheel, meant_for="flywheel", lies_in="C3", person=people["fitter"])
    torque = make_job_torque(step=step)
    said = Statement(tool="wrench 2", done_at=now(), value=read("85 N·m", TORQUE))
    kept = sign_tightened(step=step, torque=torque, statement=said, person=people["fitter"], now=now())
    confirm_sign_off(kept, person=people["owner"], now=now())
    finish(step, person=people["fitter"], now=now())
    make_step_need(make_step(job=step.job, title="Road test", hazard="drives"), step)
    return Step.objects.get(pk=step.pk), aside


def road(step):
    return Step.objects.get(job=step.job, title="Road test")


def put_in(vehicle, specimen, people, place="flywheel", since=None):
    return fit(
        vehicle=vehicle,
        specimen=specimen,
        place=place,
        since=since or today(),
        person=people["fitter"],
        today=today(),
        now=now(),
    )


def test_fitting_the_piece_that_was_set_aside_changes_nothing_from_either_page(assembly, people):
    step, aside = assembly
    fit_set_aside(aside, place="flywheel", since=today(), person=people["fitter"], now=now())
    assert words(step) == "done"
    assert words(road(step)) == "ready"


def test_a_piece_fitted_from_the_vehicles_room_is_set_aside_no_longer(assembly, people, fitter):
    step, aside = assembly
    form = {"specimen": aside.specimen_id, "place": "flywheel", "since": today().isoformat()}
    press(fitter, f"/vehicles/{step.job.vehicle_id}/fit/", **form)
    aside.refresh_from_db()
    assert aside.is_deleted
    assert words(step) == "done"


def test_a_piece_swapped_after_the_signature_lets_the_step_fall_and_what_follows_wait(assembly, people):
    step, aside = assembly
    fitted = put_in(step.job.vehicle, aside.specimen, people)
    take_out(fitted, until=today(), person=people["fitter"], today=today())
    cause = "V6-30 flywheel no. FW-2 is not in this vehicle any more"
    assert cause in words(step)
    assert words(road(step)) == "waits for “Final assembly”, to be checked again"
    assert not done_jobs(Job.objects.all()).exists()


def test_a_piece_taken_out_and_fitted_again_asks_for_a_new_signature(assembly, people, fitter):
    step, aside = assembly
    fitted = put_in(step.job.vehicle, aside.specimen, people)
    reopen(step, person=people["fitter"], reason="noise")
    torque = step.job_torques.get()
    said = Statement(tool="wrench 2", done_at=now(), value=read("85 N·m", TORQUE))
    signed = sign_tightened(step=step, torque=torque, statement=said, person=people["fitter"], now=now())
    confirm_sign_off(signed, person=people["owner"], now=now())
    finish(step, person=people["fitter"], now=now())
    type(torque.torque_spec).objects.filter(pk=torque.torque_spec_id).update(component=aside.specimen.component)
    assert words(step) == "done"
    take_out(fitted, until=today(), person=people["fitter"], today=today())
    put_in(step.job.vehicle, aside.specimen, people)
    assert "V6-30 flywheel no. FW-2 was fitted again on" in words(step)
    assert "was fitted again on" in collapsed(fitter.get(step.get_absolute_url()))
    assert "was fitted again on" in collapsed(fitter.get("/"))
    assert words(road(step)) == "waits for “Final assembly”, to be checked again"
    reopen(Step.objects.get(pk=step.pk), person=people["fitter"], reason="sign anew")
    SignOff.objects.filter(pk=signed.pk).update(checked_by=None, checked_at=None, check_again="")
    with pytest.raises(ValidationError, match="does not count any more: .*fitted again"):
        confirm_sign_off(signed, person=people["owner"], now=now())


@pytest.mark.parametrize("room", ["set aside", "vehicles"])
def test_a_piece_that_goes_elsewhere_or_was_entered_by_mistake_is_noticed_too(assembly, people, room):
    step, aside = assembly
    if room == "set aside":
        return_from_set_aside(aside, person=people["fitter"], reason="cracked", now=now())
    else:
        fitted = put_in(step.job.vehicle, aside.specimen, people)
        delete_fitted(fitted, person=people["fitter"], reason="typed wrongly", now=now())
    assert "not in this vehicle any more" in words(step)


def test_the_old_gearbox_taken_out_throws_no_doubt_on_what_was_measured_before(people):
    step = make_begun_step(title="Measure")
    old = make_fitted(vehicle=step.job.vehicle, specimen=make_specimen(), since=None)
    finish(step, person=people["fitter"], now=now())
    take_out(old, until=today(), person=people["fitter"], today=today())
    assert words(step) == "done"


def test_what_ran_or_drove_rests_on_every_piece_in_the_vehicle(people):
    step = make_begun_step(title="First start", hazard="runs")
    old = make_fitted(vehicle=step.job.vehicle, specimen=make_specimen(), since=None)
    finish(step, person=people["fitter"], now=now())
    assert words(step) == "done"
    take_out(old, until=today(), person=people["fitter"], today=today())
    assert "is not in this vehicle any more" in words(step)


def test_a_vehicle_that_was_handed_over_leaves_with_what_was_signed(people):
    step = make_begun_step(title="Hand over", hazard="hands over")
    old = make_fitted(vehicle=step.job.vehicle, specimen=make_specimen(), since=None)
    finish(step, person=people["owner"], now=now())
    Step.objects.filter(pk=step.pk).update(finished_at=now() - timedelta(days=300))
    take_out(old, until=today(), person=people["fitter"], today=today())
    assert words(step) == "done", "a year later it is another job's"


def test_a_piece_is_in_one_place(people):
    piece, other = make_specimen(), make_job()
    set_aside(job=make_job(title="Five-speed"), specimen=piece, meant_for="", lies_in="", person=people["fitter"])
    with pytest.raises(ValidationError, match="It is set aside for “Five-speed”"):
        put_in(make_vehicle(), piece, people)
    fitted = make_fitted(specimen=make_specimen())
    with pytest.raises(ValidationError, match="Record that it was taken out there first"):
        set_aside(job=other, specimen=fitted.specimen, meant_for="", lies_in="", person=people["fitter"])


def test_an_entry_is_not_brought_back_once_the_piece_is_set_aside(people, owner):
    fitted = make_fitted(specimen=make_specimen())
    delete_fitted(fitted, person=people["owner"], reason="typed wrongly", now=now())
    set_aside(job=make_job(), specimen=fitted.specimen, meant_for="", lies_in="", person=people["fitter"])
    page = owner.post(f"/undo/vehicles.fitted/{fitted.pk}/", follow=True).content.decode()
    assert not Fitted.objects.in_now().exists(), page[:500]
