"""Start, pause, finish; hours by tap and by hand."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.jobs.changes.hours import correct_hours, log_hours
from shop.jobs.changes.proof import confirm_sign_off
from shop.jobs.changes.work import ClockNotBelieved, GoOnNeeded, finish, pause, reopen, start
from shop.jobs.models import Step, TimeEntry
from tests.factories.jobs import make_job, make_job_torque, make_sign_off, make_step, make_step_need, make_time_entry
from tests.factories.people import make_person

pytestmark = pytest.mark.django_db

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def later(**delta):
    return NINE + timedelta(**delta)


@pytest.fixture
def jonas(people):
    return people["fitter"]


def test_start_and_pause_log_the_hours_between(jonas):
    step = make_step()
    start(step, person=jonas, now=NINE)
    pause(step, person=jonas, now=later(hours=2, minutes=15))
    time_entry = step.time_entries.get()
    assert (time_entry.hours, time_entry.person, time_entry.day.isoformat()) == (Decimal("2.25"), jonas, "2026-03-02")


def test_a_second_tap_changes_nothing(jonas):
    step = make_step()
    start(step, person=jonas, now=NINE)
    start(step, person=jonas, now=later(seconds=1))
    pause(step, person=jonas, now=later(hours=1))
    assert pause(step, person=jonas, now=later(hours=1, seconds=1)) is None
    assert [time_entry.hours for time_entry in step.time_entries.all()] == [Decimal("1.00")]
    finish(step, person=jonas, now=later(hours=2))
    finish(step, person=jonas, now=later(hours=3))
    assert Step.objects.get().finished_at == later(hours=2)


def test_starting_another_step_pauses_the_first(jonas):
    one, two = make_step(), make_step()
    start(one, person=jonas, now=NINE)
    running, paused = start(two, person=jonas, now=later(hours=1))
    assert (running.step, paused.step, paused.hours) == (two, one, Decimal("1.00"))
    assert TimeEntry.objects.running().count() == 1


def test_two_people_work_on_one_step_and_finishing_stops_both(jonas):
    ama, step = make_person(roles=["fitter"]), make_step()
    start(step, person=jonas, now=NINE)
    start(step, person=ama, now=later(hours=1))
    finish(step, person=jonas, now=later(hours=3))
    assert sorted(step.time_entries.values_list("hours", flat=True)) == [Decimal("2.00"), Decimal("3.00")]


def test_finishing_is_refused_in_words_while_a_need_is_open(jonas):
    job = make_job()
    strip, trial = make_step(job=job, title="Strip"), make_step(job=job, title="Trial fit")
    make_step_need(trial, strip)
    with pytest.raises(GoOnNeeded, match="This is open in “Trial fit”: “Strip”"):
        start(trial, person=jonas, now=NINE)
    start(trial, person=jonas, now=NINE, go_on_because="only measuring")
    with pytest.raises(GoOnNeeded, match="This is open in “Trial fit”: “Strip”"):
        finish(trial, person=jonas, now=later(hours=1))
    assert trial.time_entries.running().exists()
    assert not Step.objects.get(pk=trial.pk).is_finished


def test_finishing_is_refused_until_the_fasteners_of_the_step_are_signed(jonas):
    step = make_step()
    torque = make_job_torque(step=step)
    with pytest.raises(ValidationError, match="a signature: "):
        finish(step, person=jonas, now=NINE)
    kept = make_sign_off(step=step, torque=torque, value=85.0, value_typed="85 N·m")
    with pytest.raises(ValidationError, match="a second person: "):
        finish(step, person=jonas, now=NINE)
    confirm_sign_off(kept, person=make_person(roles=["fitter"]), now=timezone.now())
    assert finish(step, person=jonas, now=NINE).is_finished


def test_a_forgotten_clock_is_asked_about_and_stays_running(jonas):
    step = make_step()
    start(step, person=jonas, now=NINE)
    with pytest.raises(ClockNotBelieved, match="running for 23.0 hours"):
        pause(step, person=jonas, now=later(hours=23))
    assert step.time_entries.running().exists()
    pause(step, person=jonas, now=later(hours=23), hours=Decimal("7.5"), reason="forgot to pause")
    assert (step.time_entries.get().hours, step.time_entries.get().reason) == (Decimal("7.50"), "forgot to pause")


def test_a_spell_that_would_end_before_it_starts_is_asked_about_and_stays_running(jonas):
    step = make_step()
    start(step, person=jonas, now=NINE)
    before = NINE - timedelta(hours=2)
    with pytest.raises(ClockNotBelieved, match="The clock of this box was set back"):
        pause(step, person=jonas, now=before)
    assert step.time_entries.running().exists()
    pause(step, person=jonas, now=before, hours=Decimal("1.5"), reason="the box lost its time")
    assert step.time_entries.get().hours == Decimal("1.50")


def test_a_finished_step_is_not_started_again_until_reopened(jonas):
    step = finish(make_step(), person=jonas, now=NINE)
    with pytest.raises(ValidationError, match="finished"):
        start(step, person=jonas, now=later(hours=1))
    with pytest.raises(ValidationError, match="Say why"):
        reopen(step, person=jonas, reason=" ")
    reopen(step, person=jonas, reason="bolt left out")
    assert start(step, person=jonas, now=later(hours=1))[0].is_running
    assert step.history.filter(history_change_reason="bolt left out", finished_at=None).exists()


def test_hours_by_hand_need_a_reason_and_a_possible_day(jonas):
    step = make_step()
    usual = {"step": step, "worker": jonas, "day": NINE.date(), "person": jonas, "now": NINE, "reason": "forgot to tap"}
    for hours, changes in (("30", {}), ("2", {"reason": ""}), ("2", {"day": later(days=1).date()}), ("-1", {})):
        with pytest.raises(ValidationError):
            log_hours(hours=Decimal(hours), **{**usual, **changes})
    log_hours(hours=Decimal("20"), **usual)
    with pytest.raises(ValidationError, match="5 more would pass 24"):
        log_hours(hours=Decimal("5"), **usual)


def test_a_correction_is_a_new_record_and_only_the_last_counts(jonas):
    time_entry = make_time_entry(person=jonas, hours=Decimal("8"))
    fixed = correct_hours(time_entry, hours=Decimal("6"), person=jonas, reason="lunch")
    time_entry.refresh_from_db()
    assert (time_entry.hours, fixed.hours) == (Decimal("8"), Decimal("6"))
    assert TimeEntry.objects.hours_on(jonas, time_entry.day) == Decimal("6")
    assert Step.objects.with_hours().get().hours_logged == Decimal("6")
    with pytest.raises(ValidationError, match="corrected already"):
        correct_hours(time_entry, hours=Decimal("5"), person=jonas, reason="again")


def test_a_correction_counts_the_day_without_what_it_replaces(jonas):
    time_entry = make_time_entry(person=jonas, hours=Decimal("20"))
    assert correct_hours(time_entry, hours=Decimal("22"), person=jonas, reason="late").hours == Decimal("22")


def test_only_the_owner_corrects_another_persons_hours(people):
    time_entry = make_time_entry(person=people["machinist"])
    with pytest.raises(PermissionDenied):
        correct_hours(time_entry, hours=Decimal("1"), person=people["fitter"], reason="looked shorter")
    assert (
        correct_hours(time_entry, hours=Decimal("1"), person=people["owner"], reason="agreed").recorded_by
        == people["owner"]
    )


def test_hours_before_the_job_was_opened_are_refused(jonas):
    step = make_step(job=make_job(opened_on=NINE.date()))
    usual = {
        "step": step,
        "worker": jonas,
        "hours": Decimal("2"),
        "person": jonas,
        "now": NINE,
        "reason": "forgot to tap",
    }
    with pytest.raises(ValidationError, match="opened on 2 Mar 2026"):
        log_hours(day=later(days=-1).date(), **usual)
    assert log_hours(day=NINE.date(), **usual).hours == Decimal("2")
