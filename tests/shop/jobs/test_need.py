"""Pages of what a step waits for."""

import pytest

from shop.jobs.models import StepNeed
from tests.factories.jobs import make_decision, make_job, make_step, make_step_need
from tests.pages import collapsed, delete_by_both, press

pytestmark = pytest.mark.django_db


def add(client, step, **typed):
    return press(client, f"/jobs/steps/{step.pk}/needs/new/", **typed)


def test_a_step_waits_for_another_one_of_its_job(fitter):
    job = make_job()
    measure, make = make_step(job=job, title="Measure"), make_step(job=job, title="Make")
    add(fitter, make, needs_step=measure.pk)
    page = collapsed(fitter.get(make.get_absolute_url()))
    assert "Waiting for" in page
    assert "Measure" in page


def test_neither_nothing_nor_two_things_are_taken(fitter):
    step = make_step()
    other, decision = make_step(job=step.job), make_decision(job=step.job)
    for typed in ({}, {"needs_step": other.pk, "decision": decision.pk}):
        assert "Choose exactly one" in collapsed(add(fitter, step, **typed))
    assert not StepNeed.objects.exists()


def test_a_step_of_another_job_is_not_offered(fitter):
    page = collapsed(add(fitter, make_step(), needs_step=make_step().pk))
    assert 'id="id_needs_step_error"' in page


def test_a_need_is_deleted_once_and_the_second_is_told(fitter, owner):
    job = make_job()
    make = make_step(job=job, title="Make")
    need = make_step_need(make, make_step(job=job, title="Measure"))
    told = delete_by_both(fitter, owner, f"/jobs/needs/{need.pk}/delete/")
    assert "deleted this" in told
    assert "recorded twice" in told
    assert "Waiting for" not in collapsed(fitter.get(make.get_absolute_url()))


MARK = {"once": "a-mark-that-a-form-was-given-0001"}


def test_a_circle_of_needs_is_named_beside_the_field(fitter):
    job = make_job()
    strip, trial = make_step(job=job, title="Strip"), make_step(job=job, title="Trial fit")
    make_step_need(trial, strip)
    form = {"needs_step": trial.pk, "worksheet": "", "decision": ""}
    words = collapsed(fitter.post(f"/jobs/steps/{strip.pk}/needs/new/", form | MARK))
    assert "would wait for one another for ever" in words
    assert not strip.needs.exists()
