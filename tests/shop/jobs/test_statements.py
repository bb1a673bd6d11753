"""What a signature, a finding, an approval or a finished step says holds for the day and the things it was said of."""

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.base.records import save_as
from shop.base.undo import undo_deletion
from shop.jobs.changes.approvals import approve, delete_regulated
from shop.jobs.changes.hours import correct_hours
from shop.jobs.changes.proof import Statement, confirm_sign_off, sign_checked, sign_tightened
from shop.jobs.changes.steps import add_check, delete_step, mark_here, save_step
from shop.jobs.changes.torques import accept_doubt
from shop.jobs.changes.work import finish, reopen, start
from shop.jobs.models import JobTorque, Step
from shop.jobs.network import network
from shop.jobs.rules import NeedState, NodeNeed, StepNode, StepState, statuses
from shop.jobs.specified_torque import specified_torque
from shop.torque.changes import confirm_spec
from specs.engine.parsing import read
from specs.engine.units import TORQUE
from tests.factories.jobs import (
    a_moment_ago,
    make_begun_step,
    make_job,
    make_job_torque,
    make_part_need,
    make_regulated_item,
    make_step,
    make_step_need,
    make_time_entry,
)
from tests.factories.measuring import make_torque_spec
from tests.factories.print import make_printed
from tests.factories.worksheets import make_worksheet
from tests.pages import collapsed
from tests.pdfs import text_of

pytestmark = pytest.mark.django_db

MARCH = timezone.make_aware(datetime(2026, 3, 2, 14, 0))


def now():
    return timezone.now()


def words(step):
    return network(step.job, timezone.localdate()).statuses[step.pk].words


def tighten(torque, person, done_at=None):
    said = Statement(tool="wrench 2", done_at=done_at or now(), value=read("85 N·m", TORQUE))
    return sign_tightened(step=torque.step, torque=torque, statement=said, person=person, now=now())


def find(step, person, **said):
    statement = replace(Statement(tool="eyes", done_at=now(), result="dry", passed=True), **said)
    required = step.required_checks.active().first()
    return sign_checked(step=step, what="leaks", statement=statement, person=person, now=now(), required_check=required)


def test_a_signature_is_not_dated_before_the_step_was_reopened(people):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    confirm_sign_off(tighten(torque, people["fitter"], MARCH), person=people["machinist"], now=now())
    finish(step, person=people["fitter"], now=now())
    reopen(Step.objects.get(pk=step.pk), person=people["fitter"], reason="flywheel off again")
    step = torque.step = Step.objects.get(pk=step.pk)
    with pytest.raises(ValidationError, match="It was reopened on"):
        tighten(torque, people["fitter"], MARCH)
    assert tighten(torque, people["fitter"]).pk


def test_a_signature_is_not_dated_before_its_parts_were_here(people):
    step = make_begun_step()
    torque, need = make_job_torque(step=step), make_part_need(step=step, text="flywheel bolts")
    today = timezone.localdate()
    mark_here(need, on=today, note="off the shelf", person=people["owner"], today=today)
    with pytest.raises(ValidationError, match="flywheel bolts was not here on that day"):
        tighten(torque, people["fitter"], MARCH)
    assert tighten(torque, people["fitter"]).pk


def test_striking_out_the_hours_of_a_day_lets_the_signatures_of_that_day_fall(people):
    step = make_step()
    entry = make_time_entry(step=step, person=people["fitter"], day=timezone.localdate())
    torque = make_job_torque(step=step)
    confirm_sign_off(tighten(torque, people["fitter"]), person=people["machinist"], now=now())
    finish(step, person=people["fitter"], now=now())
    assert words(step) == "done"
    correct_hours(entry, hours=Decimal(0), person=people["fitter"], reason="was on another job")
    assert "nobody worked on this step on that day" in words(step)


def test_a_bad_finding_written_down_last_keeps_the_step_open_whatever_time_is_typed(people):
    step = make_begun_step()
    add_check(step=step, what="leaks", specified="dry", person=people["fitter"])
    find(step, people["fitter"])
    find(step, people["machinist"], done_at=a_moment_ago(), result="wet", passed=False)
    with pytest.raises(ValidationError, match="leaks does not pass: wet"):
        finish(step, person=people["fitter"], now=now())


def test_a_step_brought_back_is_checked_again_when_what_it_came_after_was_done_anew(people):
    job = make_job()
    assembly, test = make_begun_step(job=job, title="Assembly"), make_begun_step(job=job, title="Test")
    make_step_need(test, assembly)
    for step in (assembly, test):
        finish(step, person=people["fitter"], now=now())
    test = delete_step(Step.objects.get(pk=test.pk), person=people["owner"], reason="entered twice", now=now())
    assembly = reopen(Step.objects.get(pk=assembly.pk), person=people["fitter"], reason="disc back to front")
    finish(assembly, person=people["fitter"], now=now())
    undo_deletion(record=Step.objects.get(pk=test.pk), person=people["owner"])
    assert "disc back to front" in words(test)


def test_one_part_that_came_settles_no_other_of_a_longer_name():
    """Somebody went on over the short bolt; the long one comes."""
    fit, run = _fitted_over_the_short_bolt(met="flange bolt")
    assert fit.state is StepState.DONE
    assert run.reasons == ("“Fit” was finished with this open: 1 × flange bolt, short, not ordered yet",)


def test_going_on_over_one_part_excuses_no_other_of_a_shorter_name():
    fit, _ = _fitted_over_the_short_bolt(met="flange bolt, short")
    assert fit.reasons == ("1 × flange bolt, not ordered yet",)


def _fitted_over_the_short_bolt(met):
    needs = tuple(
        NodeNeed("part", name, f"1 × {name}, not ordered yet", _state(name == met), name=name)
        for name in ("flange bolt", "flange bolt, short")
    )
    over = frozenset({"1 × flange bolt, short, not ordered yet"})
    step = StepNode("fit", "Fit", needs=needs, done=True, excused=over, unsettled=over)
    found = statuses([step, StepNode("run", "First start", after=("fit",), guarded=True)])
    return found["fit"], found["run"]


def _state(met):
    return NeedState.MET if met else NeedState.OPEN


def test_a_doubt_that_the_owner_accepted_is_back_when_it_is_another_fastener(people):
    spec = make_torque_spec(published_torque=15.0, published_typed="15 N·m", published_source="p. 1")
    torque = make_job_torque(step=make_begun_step(), torque_spec=spec)
    accept_doubt(torque, person=people["owner"], reason="soft gasket", now=now())
    assert specified_torque(JobTorque.objects.get()).accepted_doubt
    spec.grade = "12.9"
    save_as(spec, person=people["fitter"])
    confirm_spec(spec=spec, asked_for=spec.asked_for, person=people["machinist"], now=now())
    again = specified_torque(JobTorque.objects.get())
    assert (bool(again.doubt), again.accepted_doubt) == (True, "")


@pytest.mark.parametrize(("hazard", "starts"), [("runs", False), ("drives", False), ("lifts", True)])
def test_the_engine_is_not_run_while_a_worksheet_of_the_job_does_not_hold(people, hazard, starts):
    step = make_step(hazard=hazard)
    step.job.worksheets.add(make_worksheet(title="Bolt circle"))
    if starts:
        assert start(step, person=people["fitter"], now=now())
        return
    assert "the worksheet “Bolt circle”, not accepted yet" in words(step)
    with pytest.raises(ValidationError, match="cannot start while this is open: the worksheet “Bolt circle”"):
        start(step, person=people["fitter"], now=now())


EVIDENCE = {"licensed_person": "E. Varga", "licence": "PS-114", "evidence": "report 9, folder 3"}


def test_an_approval_waits_until_nobody_works_on_the_step(people):
    step = make_begun_step()
    item, today = make_regulated_item(job=step.job, step=step), timezone.localdate()
    start(step, person=people["fitter"], now=now())
    given = {**EVIDENCE, "valid_until": date(2099, 1, 1), "passed_on": today, "today": today}
    with pytest.raises(ValidationError, match="is being worked on"):
        approve(item, person=people["owner"], **given)


def test_what_is_no_longer_regulated_prints_with_the_reason(people):
    item = make_regulated_item()
    delete_regulated(item, person=people["owner"], reason="the tunnel stays as it was", now=now())
    assert "the tunnel stays as it was" in " ".join(text_of(bytes(make_printed("job-card", item.job).pdf)).split())


def test_nothing_is_offered_to_be_signed_in_a_step_that_waits(fitter, people):
    job = make_job()
    before, step = make_step(job=job, title="Sweep"), make_begun_step(job=job, title="Assembly")
    make_step_need(step, before)
    make_job_torque(step=step)
    add_check(step=step, what="leaks", specified="dry", person=people["fitter"])
    assert "/sign/" not in collapsed(fitter.get(step.get_absolute_url()))
    assert "/check/?check=" not in collapsed(fitter.get(step.get_absolute_url()))
    start(step, person=people["fitter"], now=now(), go_on_because="swept on the bench")
    page = collapsed(fitter.get(step.get_absolute_url()))
    assert "/sign/" in page
    assert "/check/?check=" in page


def test_a_drive_that_nobody_began_is_not_finished(people):
    step = make_step(hazard="drives")
    with pytest.raises(ValidationError, match="Nobody has worked on"):
        finish(step, person=people["fitter"], now=now())
    start(step, person=people["fitter"], now=now())
    assert finish(step, person=people["fitter"], now=now()).is_finished


def test_a_signature_does_not_go_on_to_another_place(people):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    confirm_sign_off(tighten(torque, people["fitter"]), person=people["machinist"], now=now())
    finish(step, person=people["fitter"], now=now())
    torque.torque_spec.place = "Bellhousing  to plate"
    save_as(torque.torque_spec, person=people["fitter"])
    assert words(step) == "done"
    torque.torque_spec.place = "flywheel to crank"
    save_as(torque.torque_spec, person=people["fitter"])
    assert "what is asked of the fasteners changed" in words(step)


def test_how_a_guarded_step_is_done_loses_no_line_without_the_owner(people):
    step = make_step(hazard="runs", text="Fuel disabled.\nOne person in the seat.")
    step.text = "Fuel disabled.\nOne person in the seat.\nListen."
    step = save_step(step, person=people["fitter"])
    step.text = "Listen."
    with pytest.raises(PermissionDenied):
        save_step(step, person=people["fitter"])
    save_step(step, person=people["owner"], reason="written twice")
    assert "Fuel disabled. One person in the seat." in step.guard_changes.get().what
