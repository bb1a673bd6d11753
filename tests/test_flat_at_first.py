"""What a process asks that knows nothing yet, of a shop with years of finished jobs."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.base import unchanged
from shop.jobs.models import Job
from shop.jobs.resting import JOBS
from shop.jobs.standing import every_job
from tests.factories.jobs import make_step
from tests.factories.people import make_person
from tests.test_flat import add_jobs

pytestmark = pytest.mark.django_db(transaction=True)

QUESTIONS_A_LOT = 8
"""Two of its jobs and their steps, the others of many lots; on PostgreSQL as many for the state of the database."""


def asked_first(monkeypatch) -> int:
    monkeypatch.setattr(unchanged, "_KEPT", unchanged._Kept())
    with CaptureQueriesContext(connection) as captured:
        assert len(every_job(timezone.localdate()).open) == 1
    return len(captured)


def test_hundreds_of_finished_jobs_are_asked_about_together(monkeypatch):
    make_step()
    add_jobs(0, JOBS, make_person())
    few = asked_first(monkeypatch)
    add_jobs(JOBS, 9 * JOBS, make_person())
    assert Job.objects.count() == 9 * JOBS + 1
    assert asked_first(monkeypatch) <= few + 8 * QUESTIONS_A_LOT
