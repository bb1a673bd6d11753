"""A step that runs, lifts, drives or hands over waits; what was signed falls when what it rests on changes."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.jobs.changes.approvals import approve, override_regulated
from shop.jobs.changes.jobs import ask, decide, put_decision, save_job
from shop.jobs.changes.proof import Statement, confirm_sign_off, sign_checked, sign_tightened
from shop.jobs.changes.steps import (
    add_check,
    delete_check,
    delete_need,
    delete_step,
    mark_here,
    move_step,
    save_part_need,
    save_step,
)
from shop.jobs.changes.templates import save_template_step
from shop.jobs.changes.torques import delete_torque
from shop.jobs.changes.work import GoOnNeeded, confirm_step, finish, reopen, start
from shop.jobs.models import Job, JobTemplate, SignOff, Step, TemplateStep
from shop.jobs.network import network
from shop.jobs.standing import done_jobs, listed, open_jobs, open_points
from shop.torque.changes import confirm_spec
from specs.engine.parsing import read
from specs.engine.units import TORQUE
from tests.factories.jobs import (
    make_begun_step,
    make_decision,
    make_job,
    make_job_torque,
    make_part_need,
    make_regulated_item,
    make_step,
    make_step_need,
)
from tests.factories.measuring import make_torque_spec
from tests.factories.print import make_printed
from tests.factories.vehicles import make_vehicle
from tests.pdfs import text_of

pytestmark = pytest.mark.django_db


FOUND = Statement(tool="by hand", done_at=timezone.now(), result="no crank", passed=True)


def now():
    return timezone.now()


def check(step, person, what="interlock", **changes):
    statement = replace(FOUND, done_at=now(), **changes)
    required = step.required_checks.active().filter(what=what).first()
    return sign_checked(step=step, what=what, statement=statement, person=person, now=now(), required_check=required)


def words(step):
    return network(Job.objects.get(pk=step.job_id), timezone.localdate()).statuses[step.pk].words


@pytest.mark.parametrize("hazard", ["runs", "lifts", "drives", "hands over"])
def test_a_guarded_step_does_not_start_while_it_waits_whatever_somebody_says(people, hazard):
    step = make_step(hazard=hazard)
    make_decision(step=step)
    with pytest.raises(ValidationError, match="cannot start"):
        start(step, person=people["owner"], now=now(), go_on_because="the customer waits")
    assert not step.time_entries.exists()


def test_another_step_starts_with_a_reason_and_a_name(people):
    step = make_step()
    make_decision(step=step)
    with pytest.raises(GoOnNeeded):
        start(step, person=people["fitter"], now=now())
    start(step, person=people["fitter"], now=now(), go_on_because="only cleaning")
    override = step.overrides.get()
    assert (override.person, override.reason) == (people["fitter"], "only cleaning")
    assert "Which ratios?" in override.open_points[0]


def test_a_guarded_step_is_not_finished_with_a_check_unsigned_or_unseen(people):
    step = make_begun_step(hazard="runs")
    add_check(step=step, what="interlock", specified="no crank", person=people["fitter"])
    with pytest.raises(ValidationError, match="a signature: interlock"):
        finish(step, person=people["owner"], now=now(), go_on_because="seen")
    kept = check(step, people["fitter"])
    with pytest.raises(ValidationError, match="a second person: interlock"):
        finish(step, person=people["owner"], now=now(), go_on_because="seen")
    confirm_sign_off(kept, person=people["machinist"], now=now())
    assert finish(step, person=people["fitter"], now=now()).is_finished


def test_a_bad_finding_keeps_any_step_open_until_it_passes(people):
    step = make_begun_step()
    check(step, people["fitter"], what="run-out", passed=False, result="0.4 mm")
    with pytest.raises(ValidationError, match="run-out does not pass: 0.4 mm"):
        finish(step, person=people["fitter"], now=now(), go_on_because="good enough")
    check(step, people["fitter"], what="run-out", result="0.04 mm")
    assert finish(step, person=people["fitter"], now=now()).is_finished


def test_a_check_names_pass_or_fail(people):
    with pytest.raises(ValidationError, match="Say whether it passes"):
        check(make_begun_step(), people["fitter"], passed=None)


def test_no_keeps_what_waits_waiting_and_says_who_said_so(people):
    step = make_step()
    decision = make_decision(step=step, question="Does it clear the sump?")
    decide(decision, outcome="no", answer="It fouls", person=people["fitter"], now=now())
    assert "waits for a decision, “Does it clear the sump?”" in words(step)
    assert "said no, “It fouls”" in words(step)
    decide(decision, outcome="conditions", answer="8 mm spacer", person=people["fitter"], now=now(), reason="spacer")
    assert words(step) == "ready"


def test_the_owner_alone_lets_a_guarded_step_go_on(people):
    decision = make_decision(step=make_step(hazard="drives"), question="May it go on the road?")
    with pytest.raises(ValidationError, match="Only the owner may say yes: in “.*”, which waits for it"):
        decide(decision, outcome="yes", answer="yes", person=people["fitter"], now=now())
    decide(decision, outcome="no", answer="not insured", person=people["fitter"], now=now())


def test_a_signature_belongs_to_its_own_step_and_to_a_day_of_that_work(people):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    said = Statement(tool="wrench 2", done_at=now(), value=read("85 N·m", TORQUE))

    def sign(**changes):
        given = {"step": step, "torque": torque, "statement": said, "person": people["fitter"], "now": now()}
        return sign_tightened(**{**given, **changes})

    with pytest.raises(ValidationError, match="does not apply to this step"):
        sign(step=make_begun_step(job=step.job))
    with pytest.raises(ValidationError, match="Nobody worked on this step on that day"):
        sign(statement=replace(said, done_at=now() - timedelta(days=3)))
    fresh = make_step()
    with pytest.raises(ValidationError, match="Nobody has worked on this step yet"):
        sign(step=fresh, torque=make_job_torque(step=fresh))
    torque.torque_spec.single_use = True
    torque.torque_spec.save()
    with pytest.raises(ValidationError, match="New fasteners every time"):
        sign()
    assert sign(statement=replace(said, new_fasteners=True)).note == "New fasteners fitted."


def test_reopening_lets_signatures_approvals_and_later_steps_fall(people):
    assembly = make_begun_step(title="Final assembly")
    later = make_step(job=assembly.job, title="Tunnel", finished_at=now(), finished_by=people["fitter"])
    last = make_step(job=assembly.job, title="Electrics", finished_at=now(), finished_by=people["fitter"])
    make_step_need(later, assembly)
    make_step_need(last, later)
    kept = check(assembly, people["fitter"])
    finish(assembly, person=people["fitter"], now=now())
    reopen(Step.objects.get(pk=assembly.pk), person=people["fitter"], reason="flywheel off again")
    kept.refresh_from_db()
    assert kept.check_again == "“Final assembly” was reopened: flywheel off again"
    for step in (later, last):
        assert "check again: “Final assembly” was reopened: flywheel off again" in words(step)
    assert not done_jobs(Job.objects.all()).exists()
    finish(Step.objects.get(pk=assembly.pk), person=people["fitter"], now=now())
    assert "check again" in words(later), "finishing it again does not make what follows good"
    confirm_step(Step.objects.get(pk=later.pk), person=people["fitter"], reason="looked at, nothing moved", now=now())
    assert words(later) == "done"


def test_a_step_that_is_not_finished_is_not_confirmed(people):
    step = make_begun_step(title="Tunnel")
    with pytest.raises(ValidationError, match="“Tunnel” is not finished: finish it instead"):
        confirm_step(step, person=people["fitter"], reason="looked at", now=now())


def test_a_changed_specified_figure_asks_for_a_new_signature(people):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    said = Statement(tool="wrench 2", done_at=now(), value=read("85 N·m", TORQUE))
    sign_tightened(step=step, torque=torque, statement=said, person=people["fitter"], now=now())
    SignOff.objects.update(checked_by=people["owner"], checked_at=now())
    finish(step, person=people["fitter"], now=now())
    assert done_jobs(Job.objects.all()).exists()
    torque.torque_spec.published_torque = 80.0
    torque.torque_spec.save()
    assert not done_jobs(Job.objects.all()).exists()
    proofs = open_points(step, timezone.localdate()).proofs
    assert "no approved torque any more" in proofs[0]
    spec = torque.torque_spec
    confirm_spec(spec=spec, asked_for=spec.asked_for, person=people["owner"], now=now())
    proofs = open_points(step, timezone.localdate()).proofs
    assert "the specified torque changed from 85 N·m to 80 N·m" in proofs[0]


def test_a_job_is_done_only_when_regulated_items_are_approved_or_overridden(people):
    step = make_begun_step()
    item = make_regulated_item(job=step.job, step=step)
    finish(step, person=people["fitter"], now=now())
    assert listed(Job.objects.all()).get().state.words == "check: 1 point open, all steps finished"
    assert open_jobs(Job.objects.all()).exists()
    with pytest.raises(PermissionDenied):
        override_regulated(item, person=people["fitter"], reason="in a hurry", now=now())
    override_regulated(item, person=people["owner"], reason="trailer to the station", now=now())
    assert done_jobs(Job.objects.all()).exists()
    reopen(Step.objects.get(pk=step.pk), person=people["fitter"], reason="again")
    item.refresh_from_db()
    assert item.override_reason == ""


EVIDENCE = {
    "licensed_person": "R. Veld",
    "licence": "ST-119",
    "valid_until": date(2030, 1, 1),
    "evidence": "report 40, blue folder",
}


@pytest.mark.parametrize(
    ("changes", "refused"),
    [
        ({"licensed_person": "-"}, "Give the name"),
        ({"licence": "-"}, "Give the number"),
        ({"evidence": "-"}, "Give the certificate"),
        ({"passed_on": date(2026, 3, 4)}, "an approval is given after the work"),
        ({"valid_until": date(2026, 3, 3)}, "not valid any more"),
    ],
)
def test_an_approval_without_licence_evidence_or_work_is_refused(people, changes, refused):
    step = make_begun_step()
    item = make_regulated_item(job=step.job, step=step)
    given = {**EVIDENCE, "passed_on": timezone.localdate(), **changes}
    with pytest.raises(ValidationError, match=refused):
        approve(item, **given, person=people["owner"], today=timezone.localdate())
    assert not item.approvals.exists()


def test_an_approval_falls_when_the_work_is_reopened(people):
    step = make_begun_step()
    item = make_regulated_item(job=step.job, step=step)
    day = timezone.localdate()
    approve(item, **EVIDENCE, passed_on=day, person=people["owner"], today=day)
    assert item.approvals.get().vehicle == step.job.vehicle
    finish(step, person=people["fitter"], now=now())
    reopen(Step.objects.get(pk=step.pk), person=people["fitter"], reason="weld ground out")
    assert item.approvals.get().check_again == "“Step 1” was reopened: weld ground out"
    assert step.job.regulated_items.open().exists()


def test_a_job_with_proofs_keeps_its_vehicle(people):
    step = make_begun_step()
    check(step, people["fitter"])
    job = Job.objects.get(pk=step.job_id)
    job.vehicle = make_vehicle()
    with pytest.raises(ValidationError, match="open another job"):
        save_job(job, person=people["owner"], today=timezone.localdate())


def test_what_guards_a_step_is_taken_away_by_the_owner_alone(people):
    job = make_job()
    before, step = make_step(job=job), make_step(job=job, hazard="runs", cautions="Nobody near the shaft.")
    need = make_step_need(step, before)
    required = add_check(step=step, what="interlock", specified="", person=people["fitter"])
    torque = make_job_torque(step=step)
    fitter = {"person": people["fitter"], "reason": "in the way", "now": now()}
    for take_away in (
        lambda: delete_need(need, **fitter),
        lambda: delete_check(required, **fitter),
        lambda: delete_torque(torque, **fitter),
        lambda: delete_step(step, **fitter),
        lambda: move_step(step, up=True, person=people["fitter"]),
    ):
        with pytest.raises(PermissionDenied):
            take_away()
    for changed in ({"hazard": "none"}, {"cautions": ""}):
        weaker = Step.objects.get(pk=step.pk)
        vars(weaker).update(changed)
        with pytest.raises(PermissionDenied):
            save_step(weaker, person=people["fitter"], reason="quicker")
        with pytest.raises(ValidationError, match="Say why what guards this step changes"):
            save_step(weaker, person=people["owner"])
    assert delete_need(need, person=people["owner"], reason="done elsewhere", now=now()).is_deleted


def test_a_torque_that_stands_on_no_step_keeps_the_job_open(people):
    step = make_begun_step()
    make_job_torque(job=step.job)
    finish(step, person=people["fitter"], now=now())
    assert not done_jobs(Job.objects.all()).exists()
    handover = make_begun_step(job=step.job, hazard="hands over")
    with pytest.raises(ValidationError, match="a step in which this is tightened"):
        finish(handover, person=people["owner"], now=now())


def test_beyond_what_is_known_that_the_fastener_bears_no_note_helps(people):
    step = make_begun_step()
    spec = make_torque_spec(
        thread="M12", grade="as supplied", published_torque=85.0, published_typed="85 N·m", published_source="p. 1"
    )
    torque = make_job_torque(step=step, torque_spec=spec)
    said = Statement(tool="wrench 2", done_at=now(), value=read("120 N·m", TORQUE), note="felt right")
    with pytest.raises(ValidationError, match="This fastener bears at most"):
        sign_tightened(step=step, torque=torque, statement=said, person=people["fitter"], now=now())


def test_a_changed_condition_asks_for_a_new_signature(people):
    step = make_begun_step()
    torque = make_job_torque(step=step)
    said = Statement(tool="wrench 2", done_at=now(), value=read("85 N·m", TORQUE))
    sign_tightened(step=step, torque=torque, statement=said, person=people["fitter"], now=now())
    SignOff.objects.update(checked_by=people["owner"], checked_at=now())
    finish(step, person=people["fitter"], now=now())
    assert words(step) == "done"
    torque.torque_spec.condition = "oiled" if torque.torque_spec.condition != "oiled" else "dry"
    torque.torque_spec.save()
    assert "what is asked of the fasteners changed" in words(step)


def test_a_decision_is_answered_by_those_it_is_put_to_and_by_nobody_else(people):
    step = make_step()
    decision = ask(job=step.job, question="Which ratios?", put_to=[people["machinist"]], person=people["fitter"])
    said = {"outcome": "yes", "answer": "short", "now": now()}
    for name in ("fitter", "owner"):
        with pytest.raises(ValidationError, match="put to"):
            decide(decision, **said, person=people[name])
    with pytest.raises(PermissionDenied):
        put_decision(decision, put_to=[people["fitter"]], person=people["fitter"], reason="he is away")
    put_decision(decision, put_to=[people["fitter"]], person=people["owner"], reason="he is away")
    assert decide(decision, **said, person=people["fitter"]).is_yes


def test_a_no_is_turned_by_whoever_said_it_or_the_owner_and_what_was_done_falls(people):
    step = make_begun_step()
    decision = make_decision(step=step)
    decide(decision, outcome="yes", answer="short", person=people["owner"], now=now())
    finish(step, person=people["fitter"], now=now())
    assert words(step) == "done"
    with pytest.raises(ValidationError, match="decided it, who changes the answer, or the owner"):
        decide(decision, outcome="no", answer="it fouls", person=people["fitter"], now=now(), reason="seen")
    decide(decision, outcome="conditions", answer="short, tall tyre", person=people["owner"], now=now(), reason="tyre")
    assert "the decision “Which ratios?” is now “short, tall tyre”: tyre" in words(step)


def test_a_guarded_step_is_put_earlier_by_the_owner_with_a_reason_that_prints(people):
    job = make_job()
    make_step(job=job, title="Bleed")
    first_start = make_step(job=job, title="First start", hazard="runs")
    with pytest.raises(ValidationError, match="Say why"):
        move_step(first_start, up=True, person=people["owner"])
    move_step(first_start, up=True, person=people["owner"], reason="bled on the bench")
    assert "bled on the bench" in text_of(bytes(make_printed("job-card", job).pdf))


def test_what_stands_before_a_guarded_step_guards_it(people):
    job = make_job()
    checks, interlock = make_step(job=job, title="Checks by hand"), make_step(job=job, hazard="runs")
    required = add_check(step=checks, what="no leaks", specified="dry", person=people["fitter"])
    assert delete_check(required, person=people["fitter"], reason="typed twice", now=now()).is_deleted
    required = add_check(step=checks, what="no leaks", specified="dry", person=people["fitter"])
    make_step_need(interlock, checks)
    with pytest.raises(PermissionDenied):
        delete_check(required, person=people["fitter"], reason="in the way", now=now())


def test_a_part_is_here_whole_and_as_it_was_needed(people):
    need = make_part_need(step=make_step(hazard="lifts"), text="flange bolt", quantity=Decimal(8))
    given = {"on": timezone.localdate(), "note": "drawer", "today": timezone.localdate(), "person": people["fitter"]}
    with pytest.raises(ValidationError, match="they are here when all of them are"):
        mark_here(need, quantity=6, **given)
    with pytest.raises(PermissionDenied):
        mark_here(need, quantity=8, instead="flange bolt 8.8", **given)
    kept = mark_here(need, quantity=8, instead="flange bolt 12.9", **{**given, "person": people["owner"]})
    assert kept.here_note == "flange bolt 12.9 instead: drawer"
    kept.text = "flange bolt 8.8"
    with pytest.raises(ValidationError, match="Add another part instead"):
        save_part_need(kept, person=people["owner"], reason="cheaper")


def test_an_approval_falls_when_its_step_is_worked_on_again(people):
    step = make_begun_step(title="Tunnel")
    item, day = make_regulated_item(job=step.job, step=step), timezone.localdate()
    approve(item, **EVIDENCE, passed_on=day, person=people["owner"], today=day)
    start(step, person=people["fitter"], now=now())
    assert "“Tunnel” was worked on again" in item.approvals.get().check_again
    assert step.job.regulated_items.open().exists()


def test_a_template_step_far_before_a_guarded_one_is_weakened_by_the_owner_only(people):
    template = JobTemplate.objects.create(name="Five-speed")
    far, near, road = (
        TemplateStep.objects.create(template=template, title=title, position=at, hazard=hazard)
        for at, (title, hazard) in enumerate([("Bolt", "none"), ("Fill", "none"), ("Road test", "drives")])
    )
    save_template_step(near, after=[far], person=people["fitter"])
    save_template_step(road, after=[near], person=people["owner"])
    asked = {"after": [], "parts": [(Decimal(1), "new bolts")], "checks": [("bolts seen", "")]}
    save_template_step(far, person=people["fitter"], **asked)
    for fewer in ({"checks": []}, {"parts": []}):
        with pytest.raises(PermissionDenied):
            save_template_step(far, person=people["fitter"], reason="shorter", **(asked | fewer))
        with pytest.raises(ValidationError, match="Say why"):
            save_template_step(far, person=people["owner"], **(asked | fewer))
