"""A sequence somebody tampered with is told at the next act, on page, Today and card, to fitter and owner alike."""

import html

import pytest
from django.urls import reverse
from django.utils import timezone

from shop.jobs.changes.proof import confirm_sign_off
from shop.jobs.changes.steps import add_check, add_worksheet_need
from shop.jobs.models import Job, SignOff, Step, StepNeed
from shop.jobs.standing import done_jobs
from tests.factories.jobs import (
    make_begun_step,
    make_decision,
    make_job,
    make_job_torque,
    make_step,
    make_step_need,
)
from tests.factories.measuring import make_component, make_dimension, make_reading, make_specimen, make_torque_spec
from tests.factories.print import make_printed
from tests.factories.vehicles import make_fitted, make_vehicle
from tests.factories.worksheets import accepted_worksheet
from tests.pages import collapsed, press, send
from tests.pdfs import text_of

pytestmark = pytest.mark.django_db

PUBLISHED = {"published_torque": 85.0, "published_typed": "85 N·m", "published_source": "manual, p. 41"}


def said(client, address):
    return html.unescape(collapsed(client.get(address)))


@pytest.fixture
def workshop(people, fitter, owner):
    """A gearbox bolted on, signed by the fitter and seen by the owner; a worksheet that holds; a road test after both.

    The card was printed when all of it was in order.
    """
    gearbox = make_component(name="QZ-5")
    first, second = (make_specimen(component=gearbox, mark=mark) for mark in ("A1", "B2"))
    vehicle = make_vehicle()
    make_fitted(vehicle=vehicle, specimen=first)
    job = make_job(vehicle=vehicle)
    depth = make_dimension(component=gearbox, name="drive to fastener")
    make_reading(dimension=depth, mm=50, tolerance_mm=0.5, specimen=first)
    typed = {"target": "100 N*m", "wrench_length": "400 mm", "extension": depth}
    sheet = accepted_worksheet(people["owner"], inputs=typed)
    strip = make_begun_step(job=job, title="Strip")
    bolt = make_begun_step(job=job, title="Bolt the gearbox")
    road = make_step(job=job, title="Road test", hazard="drives")
    make_step_need(bolt, strip)
    make_step_need(road, bolt)
    torque = make_job_torque(step=bolt, torque_spec=make_torque_spec(component=gearbox, thread="M12", **PUBLISHED))
    add_check(step=bolt, what="dowels home", specified="", person=people["owner"])
    add_worksheet_need(step=bolt, worksheet=sheet, person=people["owner"])
    send(fitter, f"/jobs/steps/{strip.pk}/finish/")
    moment = timezone.localtime().strftime("%Y-%m-%dT%H:%M")
    tightened = {"value": "85 N·m", "tool": "wrench 2", "done_at": moment, "note": ""}
    send(fitter, f"/jobs/steps/{bolt.pk}/sign/{torque.pk}/", **tightened)
    check = bolt.required_checks.get()
    looked = {"result": "both home", "passed": "yes", "tool": "lamp", "done_at": moment, "note": ""}
    send(fitter, f"/jobs/steps/{bolt.pk}/check/?check={check.pk}", what="dowels home", specified="", **looked)
    for signed in SignOff.objects.all():
        confirm_sign_off(signed, person=people["owner"], now=timezone.now())
    send(fitter, f"/jobs/steps/{bolt.pk}/finish/")
    assert Step.objects.get(pk=bolt.pk).is_finished
    return {"job": job, "bolt": bolt, "road": road, "sheet": sheet, "depth": depth, "pieces": (first, second)}


def card(job):
    return html.unescape(" ".join(text_of(bytes(make_printed("job-card", Job.objects.get(pk=job.pk)).pdf)).split()))


def told_everywhere(cause, workshop, fitter, owner):
    """Both people are told the cause on the step's page, on Today and on the card, and the road test does not start."""
    bolt, road = workshop["bolt"], workshop["road"]
    for client in (fitter, owner):
        assert cause in said(client, bolt.get_absolute_url())
        assert cause in said(client, "/")
        assert "to be checked again" in said(client, road.get_absolute_url())
        fitter_or_owner = send(client, f"/jobs/steps/{road.pk}/start/")
        assert "cannot start" in html.unescape(fitter_or_owner)
    assert cause in card(workshop["job"])
    assert not road.time_entries.exists()
    assert not done_jobs(Job.objects.all()).exists()


def test_nothing_is_said_while_nobody_tampered(workshop, fitter, owner):
    assert "Check again" not in said(fitter, "/")
    assert "Check again" not in card(workshop["job"])
    send(fitter, f"/jobs/steps/{workshop['road'].pk}/start/")
    assert workshop["road"].time_entries.exists()


def test_a_component_swapped_after_the_signature(workshop, fitter, owner):
    job, today = workshop["job"], timezone.localdate().isoformat()
    first, second = workshop["pieces"]
    fitted = job.vehicle.fitted.get()
    press(fitter, f"/vehicles/fitted/{fitted.pk}/out/", until=today)
    press(fitter, f"/vehicles/{job.vehicle_id}/fit/", specimen=second.pk, place="gearbox", since=today)
    told_everywhere(f"{first} is not in this vehicle any more", workshop, fitter, owner)
    assert "it was read of no. A1; this job has no. B2" in said(owner, workshop["sheet"].get_absolute_url())


def test_a_worksheet_measured_again_after_printing(workshop, fitter, owner):
    send(
        fitter,
        reverse("measuring:reading-new", args=[workshop["depth"].pk]),
        **{"value": "60", "value-unit": "mm", "tolerance": "0.5", "tolerance-unit": "mm", "instrument": "depth gauge"},
        measured_on=timezone.localdate().isoformat(),
        specimen=workshop["pieces"][0].pk,
        note="",
        confirmed="on",
    )
    told_everywhere(f"the worksheet “{workshop['sheet']}”, changed since it was accepted", workshop, fitter, owner)


def test_a_signed_step_reopened_and_finished_on_the_old_signature(workshop, fitter, owner):
    bolt = workshop["bolt"]
    press(fitter, f"/jobs/steps/{bolt.pk}/reopen/", reason="looked for a bracket")
    send(fitter, f"/jobs/steps/{bolt.pk}/finish/")
    assert not Step.objects.get(pk=bolt.pk).is_finished
    page = said(fitter, bolt.get_absolute_url())
    assert "check again: “Bolt the gearbox” was reopened: looked for a bracket" in page
    assert "cannot start" in html.unescape(send(owner, f"/jobs/steps/{workshop['road'].pk}/start/"))


def test_needs_removed_and_steps_reordered_are_the_owners_and_print(workshop, fitter, owner):
    bolt, road, job = workshop["bolt"], workshop["road"], workshop["job"]
    need = StepNeed.objects.get(step=road)
    assert press(fitter, f"/jobs/needs/{need.pk}/delete/", reason="in the way").status_code == 403
    check = bolt.required_checks.get()
    assert press(fitter, f"/jobs/checks/{check.pk}/delete/", reason="in the way").status_code == 403
    send(fitter, f"/jobs/steps/{road.pk}/move/", way="up")
    assert list(job.steps.active()) == [job.steps.get(title="Strip"), bolt, road]
    assert press(owner, f"/jobs/needs/{need.pk}/delete/", reason="driven on the trailer").status_code == 302
    assert "driven on the trailer" in card(job)


def test_a_need_further_up_the_chain_is_the_owners_too(workshop, fitter, owner):
    """What a guarded step comes after through other steps guards it as well: taken away, nobody waits for it."""
    bolt, job = workshop["bolt"], workshop["job"]
    need = StepNeed.objects.get(step=bolt, needs_step__isnull=False)
    assert press(fitter, f"/jobs/needs/{need.pk}/delete/", reason="in the way").status_code == 403
    before = make_step(job=job, title="Wash")
    strip = job.steps.get(title="Strip")
    far = make_step_need(strip, before)
    assert press(fitter, f"/jobs/needs/{far.pk}/delete/", reason="in the way").status_code == 403
    assert press(owner, f"/jobs/needs/{far.pk}/delete/", reason="clean already").status_code == 302


def test_what_keeps_the_hand_over_waiting_is_the_owners_to_take_away(people, fitter, owner):
    """The hand-over waits for every open step, question and torque of the job, without a need that names them."""
    handover = make_step(title="Hand over", hazard="hands over")
    job = handover.job
    loom = make_step(job=job, title="Loom")
    question = make_decision(job=job, question="Who pays the shaft?")
    torque = make_job_torque(job=job)
    for address in (
        f"/jobs/steps/{loom.pk}/delete/",
        f"/jobs/decisions/{question.pk}/delete/",
        f"/jobs/torques/{torque.pk}/delete/",
    ):
        assert press(fitter, address, reason="in the way").status_code == 403
        assert press(owner, address, reason="agreed by telephone").status_code == 302
    assert card(job).count("agreed by telephone") >= 2
