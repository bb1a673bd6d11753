"""Two taps or two writers at the same moment, on connections of their own."""

import pytest
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.jobs.changes.steps import add_step_need
from shop.jobs.changes.work import finish, start
from shop.jobs.models import Step, StepNeed, TimeEntry
from tests.factories.jobs import make_job, make_step
from tests.factories.people import make_person
from tests.shop.base.test_two_connections import at_once

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def jonas(transactional_db: None) -> User:
    return make_person(username="jonas", roles=["fitter"])


def test_two_taps_at_once_start_one_clock(jonas):
    step = make_step()
    at_once(*[lambda: start(Step.objects.get(pk=step.pk), person=jonas, now=timezone.now())] * 4)
    assert TimeEntry.objects.count() == 1


def test_two_steps_started_at_once_leave_one_clock_running(jonas):
    steps = [make_step(), make_step()]
    at_once(*(lambda step=step: start(step, person=jonas, now=timezone.now()) for step in steps))
    assert TimeEntry.objects.running().count() == 1
    assert TimeEntry.objects.count() == 2


def test_two_people_finishing_at_once_finish_it_once(jonas):
    ama, step = make_person(username="ama", roles=["fitter"]), make_step()
    at_once(*(lambda who=who: finish(step, person=who, now=timezone.now()) for who in (jonas, ama)))
    assert Step.objects.get().history.filter(finished_at__isnull=False).count() == 1


def test_two_halves_of_a_circle_at_once_do_not_both_get_in(jonas):
    job = make_job()
    one, two = make_step(job=job), make_step(job=job)

    def half(step, needed):
        def work():
            try:
                return add_step_need(step=step, needs_step=needed, person=jonas)
            except ValidationError as refused:
                return refused

        return work

    at_once(half(one, two), half(two, one))
    assert StepNeed.objects.count() == 1
