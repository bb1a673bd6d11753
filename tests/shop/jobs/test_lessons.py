"""Lessons are shown where they apply."""

from datetime import date

import pytest
from django.utils import timezone

from shop.jobs.changes.lessons import delete_lesson, write_lesson
from shop.jobs.changes.templates import apply_template
from shop.jobs.models import Lesson
from tests.factories.jobs import make_job, make_lesson, make_part_need, make_step, make_template
from tests.factories.measuring import make_component, make_specimen
from tests.factories.vehicles import make_fitted
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


def test_a_lesson_learned_at_a_templates_step_shows_at_that_step_of_the_next_job(people):
    template = make_template()
    old, *_ = apply_template(job=make_job(), template=template, person=people["owner"])
    write_lesson(
        Lesson(title="Top bolt", text="from above", learned_at=old), components=[], person=people["buyer"],
        today=date(2026, 3, 2),
    )  # fmt: skip
    new, other, *_ = apply_template(job=make_job(), template=template, person=people["owner"])
    assert [lesson.title for lesson in Lesson.objects.for_step(new)] == ["Top bolt"]
    assert not Lesson.objects.for_step(other).exists()
    assert Lesson.objects.for_job(new.job).count() == 1


def test_a_lesson_about_a_component_shows_where_the_part_is_needed_fitted_or_set_aside():
    component = make_component()
    lesson = make_lesson()
    lesson.components.add(component)
    need = make_part_need(component=component)
    fitted = make_fitted(specimen=make_specimen(component=component))
    job = make_job(vehicle=fitted.vehicle)
    assert list(Lesson.objects.for_step(need.step)) == [lesson]
    assert list(Lesson.objects.for_job(need.step.job)) == [lesson]
    assert list(Lesson.objects.for_job(job)) == [lesson]
    assert not Lesson.objects.for_job(make_job()).exists()


def test_a_deleted_lesson_is_shown_nowhere(people):
    step = make_step()
    lesson = make_lesson(learned_at=step)
    assert list(Lesson.objects.for_step(step)) == [lesson]
    delete_lesson(lesson, person=people["fitter"], reason="wrong", now=timezone.now())
    assert not Lesson.objects.for_step(step).exists()


@pytest.mark.parametrize("typed", ["top BOLT", "shifter", "bolt shifter", "topbolt"])
def test_lessons_are_found_by_fragments(typed):
    lesson = make_lesson()
    make_lesson(title="Drain plug", text="Left-hand thread.")
    assert list(Lesson.objects.search(typed)) == [lesson]


def test_a_components_page_says_what_was_learned_about_it(fitter, people):
    component = make_component()
    assert "What to know here" not in collapsed(fitter.get(component.get_absolute_url()))
    kept, gone = make_lesson(), make_lesson(title="Wrong advice")
    component.lessons.add(kept, gone)
    delete_lesson(gone, person=people["owner"], reason="it was the other bolt", now=timezone.now())
    page = collapsed(fitter.get(component.get_absolute_url()))
    assert "What to know here" in page
    assert kept.text in page
    assert f'href="{kept.get_absolute_url()}"' in page
    assert "Wrong advice" not in page
