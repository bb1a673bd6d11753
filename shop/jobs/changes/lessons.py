"""Writing down what to know next time."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from django.contrib.auth.models import User
from django.db import transaction

from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.jobs.models import Lesson, TemplateStep
from specs.models import Component


@transaction.atomic
def write_lesson(lesson: Lesson, *, components: Iterable[Component], person: User, today: date) -> Lesson:
    """Keep a new lesson, or a changed one, with the components it is about.

    A lesson learned at a step that came from a job template is shown at that step of every later job.
    """
    require(person, "jobs.learn")
    if lesson.pk is None:
        lesson.written_by, lesson.written_on = person, today
    save_as(lesson, person=person)
    lesson.components.set(components)
    lesson.template_steps.set(_template_steps(lesson))
    return lesson


def _template_steps(lesson: Lesson) -> list[TemplateStep]:
    step = lesson.learned_at
    return [step.template_step] if step and step.template_step else []


@transaction.atomic
def delete_lesson(lesson: Lesson, *, person: User, reason: str, now: datetime) -> Lesson:
    """Take a lesson out of sight: found wrong, or no longer true."""
    require(person, "jobs.learn")
    return delete_record(lesson, person=person, reason=reason, now=now)
