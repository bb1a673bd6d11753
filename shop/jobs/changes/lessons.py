"""Writing down what to know next time."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from django.contrib.auth.models import User
from django.db import transaction

from shop.jobs.models import Lesson, RouteStep
from shop.people.roles import require
from shop.vehicles.changes import keep, set_aside
from specs.models import Component


@transaction.atomic
def write_lesson(lesson: Lesson, *, components: Iterable[Component], by: User, today: date) -> Lesson:
    """Keep a new lesson, or a changed one, with the components it is about.

    A lesson learned at a step that came from a route is shown at that step of every later job on the route.
    """
    require(by, "jobs.learn")
    if lesson.pk is None:
        lesson.written_by, lesson.written_on = by, today
    keep(lesson, by=by)
    lesson.components.set(components)
    lesson.route_steps.set(_route_steps(lesson))
    return lesson


def _route_steps(lesson: Lesson) -> list[RouteStep]:
    step = lesson.learned_at
    return [step.route_step] if step and step.route_step else []


@transaction.atomic
def withdraw_lesson(lesson: Lesson, *, by: User, why: str, now: datetime) -> Lesson:
    """Take a lesson out of sight: found wrong, or no longer true."""
    require(by, "jobs.learn")
    return set_aside(lesson, by=by, why=why, now=now)
