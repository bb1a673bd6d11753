"""The record of hours rests on the latest finished steps with hours, and is read without those before them."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import product

import pytest
from django.conf import settings
from django.db import connection

from shop.jobs.models import Step
from shop.planning import inputs
from tests.factories.jobs import make_job, make_step, make_time_entry
from tests.factories.people import make_person

pytestmark = pytest.mark.django_db

START = datetime(2026, 1, 5, 12, tzinfo=UTC)


def make_finished(job, person, number, hours, **changes):
    finished = {"finished_at": START + timedelta(hours=number), "finished_by": person}
    step = make_step(job=job, title=f"Step {number}", **{**finished, **changes})
    if hours:
        make_time_entry(step=step, person=person, hours=Decimal(hours))
    return step


def test_steps_without_hours_or_estimate_leave_room_for_elder_ones(monkeypatch):
    monkeypatch.setattr(inputs, "LATEST_STEPS", 3)
    job, person = make_job(), make_person(roles=["fitter"])
    with_hours = product((True, False, False, False), repeat=2)
    for number, (one, other) in enumerate(with_hours):
        estimated = Decimal(0) if number == 5 else Decimal(2)
        make_finished(job, person, number, hours=number + 1 if one or other else 0, hours_estimated=estimated)
    every = Step.objects.filter(finished_at__isnull=False, hours_estimated__gt=0).with_hours()
    wanted = sorted((step for step in every if step.hours_logged), key=lambda step: step.finished_at)[:-4:-1]
    told = [(step.hours_logged, step.hours_estimated, step.job_id) for step in wanted]
    assert list(inputs._latest_with_hours()) == told
    assert len(wanted) == 3


@pytest.mark.skipif("sqlite" not in settings.DATABASES["default"]["ENGINE"], reason="counts as SQLite counts")
def test_elder_steps_are_not_read(monkeypatch):
    monkeypatch.setattr(inputs, "LATEST_STEPS", 5)
    job, person = make_job(), make_person(roles=["fitter"])
    for number in range(10):
        make_finished(job, person, number, hours=2)
    before = work()
    for number in range(-90, 0):
        make_finished(job, person, number, hours=2)
    assert work() <= 1.5 * before


def work() -> int:
    """What SQLite does for the record, in tens of its instructions."""
    counted = [0]

    def count() -> int:
        counted[0] += 1
        return 0

    connection.connection.set_progress_handler(count, 10)
    try:
        assert len(inputs.hours_record().ratios) == 5
    finally:
        connection.connection.set_progress_handler(None, 10)
    return counted[0]
