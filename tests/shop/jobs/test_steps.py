"""The list of steps to do, over all jobs."""

import pytest
from django.utils import timezone

from shop.base.records import delete_record
from tests.factories.jobs import make_job, make_step
from tests.pages import words_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def test_it_lists_what_is_left_and_asks_as_much_for_twenty_as_for_one(owner, people):
    job = make_job()
    make_step(job=job, title="Lift the gearbox", person=people["fitter"])
    gone = make_step(job=job, title="Paint it")
    delete_record(gone, person=people["owner"], reason="not asked for", now=timezone.now())
    page = words_of(owner.get("/jobs/steps/"))
    assert "Lift the gearbox" in page
    assert "Paint it" not in page
    few = len(queries_of(owner, "/jobs/steps/"))
    for number in range(20):
        make_step(job=job, title=f"Step {number}")
    assert len(queries_of(owner, "/jobs/steps/")) == few
    assert "Step 3" not in words_of(owner.get(f"/jobs/steps/?person={people['fitter'].pk}"))
