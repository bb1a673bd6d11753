"""A job's state is read from its steps, in Python as in SQL."""

import pytest
from django.utils import timezone

from shop.jobs.job_status import JobStatus
from shop.jobs.models import Job
from shop.jobs.standing import done_jobs, listed, open_jobs
from tests.factories.jobs import make_job, make_step, make_time_entry
from tests.factories.people import make_person


@pytest.mark.parametrize(
    ("steps", "finished", "begun", "words"),
    [
        (0, 0, 0, "no steps yet"),
        (1, 0, 0, "not begun, 1 step"),
        (3, 0, 0, "not begun, 3 steps"),
        (3, 0, 1, "in hand, 0 of 3 steps done"),
        (3, 2, 2, "in hand, 2 of 3 steps done"),
        (3, 3, 0, "done"),
    ],
)
def test_state_in_words(steps, finished, begun, words):
    assert JobStatus(steps, finished, begun).words == words


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("finished", "unfinished", "deleted"), [(0, 0, 0), (0, 2, 0), (1, 1, 0), (2, 0, 0), (2, 0, 1), (0, 0, 1)]
)
def test_open_and_done_agree_in_python_and_sql(finished, unfinished, deleted):
    job, person, now = make_job(), make_person(), timezone.now()
    for _ in range(finished):
        make_step(job=job, finished_at=now, finished_by=person)
    for _ in range(unfinished):
        make_step(job=job)
    for _ in range(deleted):
        make_step(job=job, deleted_at=now, deleted_reason="not needed")
    job = listed(Job.objects.all()).get()
    state = JobStatus(job.step_count, job.steps_finished, job.steps_begun)
    assert (state.steps, state.finished) == (finished + unfinished, finished)
    assert open_jobs(Job.objects.all()).exists() is state.is_open
    assert done_jobs(Job.objects.all()).exists() is state.is_done


@pytest.mark.django_db
def test_several_time_entries_on_one_step_count_it_once():
    step = make_step()
    make_time_entry(step=step)
    make_time_entry(step=step)
    make_step(job=step.job)
    job = listed(Job.objects.all()).get()
    assert (job.step_count, job.steps_begun) == (2, 1)
