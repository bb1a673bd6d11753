"""When timed work is due: at its hour, once, again when it failed, and never put off by a clock that was ahead."""

from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from django.core.management import get_commands

from shop.serving.jobs import JOBS, JobRun, due_jobs, is_due

OSLO = ZoneInfo("Europe/Oslo")
BY_NAME = {job.name: job for job in JOBS}


def at(day: int, hour: int, minute: int = 0) -> datetime:
    return datetime(2026, 11, day, hour, minute, tzinfo=OSLO)  # the 1st is a Sunday


def test_every_job_is_a_command() -> None:
    assert set(BY_NAME) <= set(get_commands())


def test_what_never_ran_is_due() -> None:
    assert [job.name for job in due_jobs({}, at(3, 12))] == list(BY_NAME)


@pytest.mark.parametrize(
    ("began", "now", "due"),
    [
        (at(3, 2), at(3, 23, 59), False),
        (at(3, 2), at(4, 1, 59), False),
        (at(3, 2), at(4, 2), True),
        (at(3, 12), at(4, 2), True),  # brought forward by hand
        (at(1, 2), at(5, 9), True),  # the box was off
    ],
)
def test_the_nightly_copy_is_made_once_a_night(began: datetime, now: datetime, due: bool) -> None:
    assert is_due(BY_NAME["backup"], JobRun(began, True), now) is due


@pytest.mark.parametrize(("day", "hour", "due"), [(7, 23, False), (8, 3, False), (8, 4, True), (9, 9, True)])
def test_the_rehearsal_is_on_sundays(day: int, hour: int, due: bool) -> None:
    assert is_due(BY_NAME["rehearse"], JobRun(at(1, 4), True), at(day, hour)) is due


def test_mail_goes_out_every_minute() -> None:
    mail = BY_NAME["send_mail"]
    assert not is_due(mail, JobRun(at(3, 9), True), at(3, 9) + timedelta(seconds=59))
    assert is_due(mail, JobRun(at(3, 9), True), at(3, 9, 1))


def test_what_failed_is_tried_again_after_a_while_not_at_once() -> None:
    failed = JobRun(at(3, 2), False, "disk full")
    assert not is_due(BY_NAME["backup"], failed, at(3, 2, 14))
    assert is_due(BY_NAME["backup"], failed, at(3, 2, 15))


def test_a_run_in_the_future_counts_for_nothing() -> None:
    assert is_due(BY_NAME["backup"], JobRun(at(30, 2), True), at(3, 12))
