"""Pages of a torque."""

import math

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.base.records import save_as
from shop.jobs.changes.jobs import attach_worksheet
from shop.jobs.changes.proof import Statement, sign_tightened
from shop.jobs.changes.torques import tie_torque
from shop.jobs.models import JobTorque, SignOff
from shop.jobs.specified_torque import specified_torque
from shop.jobs.tightening import NoTorque
from shop.torque.changes import confirm_spec
from specs.engine.parsing import read
from specs.engine.units import ANGLE as ANGLE_KIND
from specs.engine.units import TORQUE
from tests.factories.jobs import (
    make_begun_step,
    make_job,
    make_job_torque,
    make_step,
)
from tests.factories.measuring import make_torque_spec
from tests.pages import collapsed, once, press, send
from tests.shop.jobs.bolt_worksheets import BOLT, accept, bolt_sheet, plain_torque

pytestmark = pytest.mark.django_db


def test_a_torque_is_added_for_a_step_once_and_taken_away_with_a_reason(fitter):
    step = make_step(title="Bolt the plate on")
    spec = make_torque_spec(place="plate to block")
    address = f"/jobs/{step.job_id}/torques/new/"
    page = send(fitter, address, torque_spec=spec.pk, step=step.pk)
    assert "plate to block" in page
    assert "in Bolt the plate on" in page
    fitter.post(address, {"torque_spec": spec.pk, "step": step.pk} | once())
    torque = JobTorque.objects.get()
    send(fitter, f"/jobs/torques/{torque.pk}/delete/", reason="studs are used")
    assert "in Bolt the plate on" not in collapsed(fitter.get(f"/jobs/{step.job.pk}/"))
    torque.refresh_from_db()
    assert torque.deleted_reason == "studs are used"


def test_a_torque_needs_a_step_of_the_same_job(fitter):
    job, elsewhere = make_job(), make_step()
    page = send(fitter, f"/jobs/{job.pk}/torques/new/", torque_spec=make_torque_spec().pk, step=elsewhere.pk)
    assert 'id="id_step_error"' in page
    assert not JobTorque.objects.exists()


def test_a_deleted_torque_of_a_signed_step_leaves_the_sign_off(fitter, owner):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    form = {"value": "85 N·m", "tool": "wrench 2", "done_at": "2026-03-02T14:30", "note": ""}
    send(fitter, f"/jobs/steps/{step.pk}/sign/{torque.pk}/", **form)
    send(owner, f"/jobs/torques/{torque.pk}/delete/", reason="another spec applies")
    assert "wrench 2" in collapsed(owner.get(f"/jobs/steps/{step.pk}/"))


def test_the_page_ties_an_accepted_worksheet_and_says_what_is_missing_before(fitter, people):
    torque = plain_torque(**BOLT)
    record = accept(bolt_sheet(torque, people), people["owner"])
    address = torque.step.get_absolute_url()
    assert "No approved torque: do not tighten" in collapsed(fitter.get(address))
    press(fitter, f"/jobs/torques/{torque.pk}/tie/", worksheet=record.pk)
    assert "36 N·m" in collapsed(fitter.get(address))
    assert "No approved torque" not in collapsed(fitter.get(address))


def doubtful():
    """An M10 8.8 published at less than half of what it bears."""
    spec = make_torque_spec(
        **BOLT, published_torque=15.0, published_typed="15 N·m", published_source="Teskel manual, ed. 3, p. 41"
    )
    return make_job_torque(step=make_begun_step(), torque_spec=spec)


def test_the_owner_accepts_a_doubtful_published_torque_with_a_reason(owner):
    torque = doubtful()
    address = f"/jobs/torques/{torque.pk}/doubt/"
    assert "The published figure is" in collapsed(owner.get(address))
    assert 'id="id_reason_error"' in collapsed(press(owner, address, reason=" "))
    assert press(owner, address, reason="soft gasket, asked the maker").status_code == 302
    torque.refresh_from_db()
    assert (torque.doubt_reason, torque.doubt_figure) == ("soft gasket, asked the maker", 15.0)


def test_a_torque_without_doubt_is_not_asked_about(owner):
    torque = make_job_torque(step=make_begun_step())
    page = collapsed(owner.get(f"/jobs/torques/{torque.pk}/doubt/", follow=True))
    assert "There is no doubt about this torque." in page
    assert "Accept this torque" not in page


def test_a_fitter_does_not_settle_a_doubt(fitter):
    assert fitter.get(f"/jobs/torques/{doubtful().pk}/doubt/").status_code == 403


def test_the_figure_is_the_one_that_was_set_in_the_accepted_worksheet(people):
    torque = plain_torque(**BOLT)
    record = accept(bolt_sheet(torque, people, set_torque="35 ± 1"), people["owner"])
    tie_torque(job_torque=torque, record=record, person=people["fitter"], now=timezone.now())
    assert specified_torque(torque).torque == 35.0


def test_a_record_that_reckons_with_more_friction_than_the_condition_may_have_is_not_tied(people):
    """At µ = 0.08, the least of an oiled bolt (VDI 2230-1:2015, table A5), 48 N·m pass the yield of an M10 8.8."""
    torque = plain_torque(**BOLT)
    record = accept(bolt_sheet(torque, people, mu_low="0.12", mu_high="0.14"), people["owner"])
    with pytest.raises(ValidationError, match="friction from 0.12, but oiled may be as slippery as 0.08"):
        tie_torque(job_torque=torque, record=record, person=people["fitter"], now=timezone.now())


def test_a_record_is_tied_in_its_own_job_and_for_its_own_component(people):
    torque, other = plain_torque(**BOLT), plain_torque(**BOLT)
    record = accept(bolt_sheet(torque, people), people["owner"])
    now = timezone.now()
    with pytest.raises(ValidationError, match="is not one of this job"):
        tie_torque(job_torque=other, record=record, person=people["fitter"], now=now)
    attach_worksheet(job=other.job, worksheet=record.worksheet, person=people["fitter"])
    other.refresh_from_db()
    with pytest.raises(ValidationError, match="another component than the spec"):
        tie_torque(job_torque=other, record=record, person=people["fitter"], now=now)
    tie_torque(job_torque=torque, record=record, person=people["fitter"], now=now)
    assert specified_torque(torque).torque == 36.0
    torque.job.worksheets.clear()
    assert "not one of this job" in str(specified_torque(JobTorque.objects.get(pk=torque.pk)))


def test_a_doubted_torque_shows_no_figure_on_the_job(owner, fitter):
    torque = doubtful()
    address = torque.job.get_absolute_url()
    page = collapsed(fitter.get(address))
    assert "15 N·m" not in page
    assert "below what this bolt needs. No approved torque: do not tighten" in page
    assert "1 without an approved figure" in page
    to_sign = collapsed(fitter.get(f"/jobs/steps/{torque.step_id}/sign/{torque.pk}/"))
    assert "No approved torque: do not tighten: The published figure is below" in to_sign
    assert "Specified: 15 N·m" not in to_sign
    press(owner, f"/jobs/torques/{torque.pk}/doubt/", reason="soft gasket")
    page = collapsed(fitter.get(address))
    assert "15 N·m" in page
    assert "soft gasket" in page


def test_whoever_wrote_a_worksheet_does_not_accept_its_torque_alone(people):
    torque = plain_torque(**BOLT)
    sheet = bolt_sheet(torque, people)
    for held in sheet.inputs.all():
        held.person = people["machinist"]
        held.save()
    record = accept(sheet, people["machinist"])
    with pytest.raises(ValidationError, match="a second person accepts it too"):
        tie_torque(job_torque=torque, record=record, person=people["fitter"], now=timezone.now())


def test_a_changed_spec_gives_no_torque_until_a_second_person_confirmed_it(people):
    torque = make_job_torque(step=make_begun_step())
    spec = torque.torque_spec
    spec.published_torque, spec.published_typed = 50.0, "50 N·m"
    save_as(spec, person=people["fitter"])
    specified = specified_torque(JobTorque.objects.get())
    assert isinstance(specified, NoTorque)
    assert "a second person confirms it first" in str(specified)
    confirm_spec(spec=spec, asked_for=spec.asked_for, person=people["owner"], now=timezone.now())
    assert specified_torque(JobTorque.objects.get()).torque == 50.0


ANGLE = [{"kind": "torque", "typed": "40 N·m", "value": 40.0}, {"kind": "angle", "typed": "90°", "value": math.pi / 2}]


def test_an_angle_stage_is_recorded_at_the_sign_off_and_never_exceeded(fitter):
    step = make_begun_step()
    spec = make_torque_spec(published_torque=40.0, published_typed="40 N·m", published_source="p. 1", stages=ANGLE)
    torque = make_job_torque(step=step, torque_spec=spec)
    address = f"/jobs/steps/{step.pk}/sign/{torque.pk}/"
    form = {"value": "40 N·m", "tool": "wrench 2", "done_at": "2026-03-02T14:30", "note": ""}
    assert "All angle stages together" in collapsed(fitter.get(address))
    assert 'id="id_angle_error"' in send(fitter, address, **form)
    assert "replace the fastener" in send(fitter, address, **form, angle="120°")
    assert "Say why" in send(fitter, address, **form, angle="60°")
    assert not SignOff.objects.exists()
    send(fitter, address, **form, angle="90°")
    signed = SignOff.objects.get()
    assert (signed.angle, signed.angle_typed, signed.note) == (pytest.approx(math.pi / 2), "90°", "")
    assert "40 N·m, then 90°" in collapsed(fitter.get(step.get_absolute_url()))
    assert "then 90°" in signed.specified


def test_an_angle_that_nobody_specified_is_refused_at_the_operation(people):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    said = Statement(tool="w", done_at=timezone.now(), value=read("85 N·m", TORQUE), angle=read("30°", ANGLE_KIND))
    with pytest.raises(ValidationError, match="No angle is specified"):
        sign_tightened(step=step, torque=torque, statement=said, person=people["fitter"], now=timezone.now())


def test_with_an_adapter_the_figure_of_a_step_is_the_one_on_the_wrench(fitter):
    """TM 9-254, figure 4-6: setting = torque × l / (l + e cos a); 85 × 400 / 450 = 75.6, rounded down to 75 N·m."""
    stages = [
        {"kind": "torque", "typed": "45 N·m", "value": 45.0},
        {"kind": "torque", "typed": "85 N·m", "value": 85.0},
    ]
    published = {"published_torque": 85.0, "published_typed": "85 N·m", "published_source": "p. 1", "stages": stages}
    step = make_begun_step()
    make_job_torque(step=step, torque_spec=make_torque_spec(thread="M12", **published))
    assert "on the wrench" not in _figure(fitter.get(step.get_absolute_url()))
    shown = fitter.get(f"{step.get_absolute_url()}?wrench=400+mm&adapter=50")
    assert _figure(shown) == "75 N·m on the wrench 40 N·m, then 75 N·m"
    page = collapsed(shown)
    assert "With this adapter 85 N·m at the fastener" in page
    assert "S = T × L / (L + E × cos θ)" in page
    assert "TM 9-254" in page
    square = fitter.get(f"{step.get_absolute_url()}?wrench=400&adapter=50&turned=90°")
    assert _figure(square).startswith("85 N·m on the wrench")
    wrong = fitter.get(f"{step.get_absolute_url()}?wrench=400&adapter=-400")
    assert "turned back as far as the hand" in collapsed(wrong)
    assert "on the wrench" not in _figure(wrong)


def _figure(response):
    """The large figure of the first row, with what stands under it."""
    cell = collapsed(response).partition('<div class="figure">')[2].partition("</div>")[0]
    return " ".join(cell.replace("<small>", " ").replace("</small>", "").split())
