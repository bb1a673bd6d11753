"""Routes: bringing in the shipped ones, writing our own, and applying one to a job."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max

from shop.jobs import rules
from shop.jobs.models import (
    Decision,
    Job,
    PartNeed,
    RegulatedItem,
    Route,
    RouteNeed,
    RoutePart,
    RouteStep,
    Step,
    StepNeed,
)
from shop.jobs.regulated import why_unknown
from shop.jobs.shipped import ShippedRoute, ShippedStep, shipped_routes
from shop.people.roles import require
from shop.vehicles.changes import keep, set_aside


@transaction.atomic
def bring_in_shipped(*, by: User) -> list[Route]:
    """Keep the routes that come with the shop, each once; one that the shop changed since is left as it is."""
    require(by, "jobs.routes")
    known = set(Route.objects.exclude(shipped_as="").values_list("shipped_as", flat=True))
    return [_bring_in(route, by) for route in shipped_routes() if route.key not in known]


def _bring_in(shipped: ShippedRoute, by: User) -> Route:
    route = keep(Route(name=shipped.name, purpose=shipped.purpose, shipped_as=shipped.key), by=by)
    made: dict[str, RouteStep] = {}
    for position, step in enumerate(shipped.steps, start=1):
        made[step.key] = _bring_in_step(route, position, step, made, by)
    return route


def _bring_in_step(
    route: Route, position: int, shipped: ShippedStep, made: dict[str, RouteStep], by: User
) -> RouteStep:
    step = RouteStep(
        route=route,
        position=position,
        title=shipped.title,
        text=shipped.text,
        cautions=shipped.cautions,
        hours_estimated=shipped.hours,
        role=shipped.role,
        touches=list(shipped.touches),
    )
    keep(step, by=by)
    for key in shipped.after:
        keep(RouteNeed(step=step, needs_step=made[key]), by=by)
    for question in shipped.decisions:
        keep(RouteNeed(step=step, decision=question), by=by)
    for text, quantity in shipped.parts:
        keep(RoutePart(step=step, text=text, quantity=quantity), by=by)
    return step


@transaction.atomic
def save_route(route: Route, *, by: User) -> Route:
    """Record a new route, or a changed one."""
    require(by, "jobs.routes")
    return keep(route, by=by)


@transaction.atomic
def withdraw_route(route: Route, *, by: User, why: str, now: datetime) -> Route:
    """Take a route out of use. Jobs that came of it keep their steps."""
    require(by, "jobs.routes")
    return set_aside(route, by=by, why=why, now=now)


@transaction.atomic
def save_route_step(
    step: RouteStep,
    *,
    after: list[RouteStep],
    by: User,
    questions: Sequence[str] = (),
    parts: Sequence[tuple[Decimal, str]] = (),
) -> RouteStep:
    """Record a step of a route: which of its steps it needs first, which questions it waits for, its usual parts.

    A circle of needs is refused, and named.
    """
    require(by, "jobs.routes")
    for subject in step.touches:
        if refused := why_unknown(subject):
            raise ValidationError({"touches": refused})
    if step.pk is None:
        step.position = 1 + (step.route.steps.aggregate(last=Max("position"))["last"] or 0)
    keep(step, by=by)
    _set_needs(step, after, by)
    _set_questions(step, questions, by)
    _set_parts(step, parts, by)
    return step


def _set_questions(step: RouteStep, questions: Sequence[str], by: User) -> None:
    kept = {need.decision: need for need in step.needs.exclude(decision="")}
    for question in kept.keys() - set(questions):
        kept[question].delete()
    for question in dict.fromkeys(questions):
        if question not in kept:
            keep(RouteNeed(step=step, decision=question), by=by)


def _set_parts(step: RouteStep, parts: Sequence[tuple[Decimal, str]], by: User) -> None:
    kept = {(part.quantity, part.text): part for part in step.parts.all()}
    for one in kept.keys() - set(parts):
        kept[one].delete()
    for quantity, text in dict.fromkeys(parts):
        if (quantity, text) not in kept:
            keep(RoutePart(step=step, quantity=quantity, text=text), by=by)


def _set_needs(step: RouteStep, after: list[RouteStep], by: User) -> None:
    steps = {one.pk: one for one in step.route.steps.standing()}
    if any(needed.pk not in steps or needed.pk == step.pk for needed in after):
        raise ValidationError({"after": "Choose other steps of the same route."})
    links: dict[Hashable, list[int]] = {key: [] for key in steps}
    standing = RouteNeed.objects.filter(step__in=steps, needs_step__in=steps).exclude(step=step)
    for one, first in standing.values_list("step", "needs_step"):
        links[one].append(first)
    links[step.pk] = [needed.pk for needed in after]
    if circle := rules.find_circle(links, {key: one.title for key, one in steps.items()}):
        raise ValidationError({"after": str(rules.CircularNeedsError(circle))})
    kept = {need.needs_step_id: need for need in step.needs.filter(needs_step__isnull=False)}
    for key in kept.keys() - {needed.pk for needed in after}:
        kept[key].delete()
    for needed in after:
        if needed.pk not in kept:
            keep(RouteNeed(step=step, needs_step=needed), by=by)


@transaction.atomic
def withdraw_route_step(step: RouteStep, *, by: User, why: str, now: datetime) -> RouteStep:
    """Take a step out of a route. Refused while another step of it needs this one."""
    require(by, "jobs.routes")
    if needed := step.needed_by.filter(step__withdrawn_at=None).select_related("step").first():
        raise ValidationError(f"“{needed.step}” needs this step first. Take that need away before this step.")
    return set_aside(step, by=by, why=why, now=now)


@transaction.atomic
def apply_route(*, job: Job, route: Route, by: User) -> list[Step]:
    """Copy a route's steps, with their needs, parts, questions and flags, to the end of a job.

    Refused when the job already has steps of this route: twice the same steps is always a slip of the finger.
    """
    require(by, "jobs.manage")
    Job.objects.select_for_update().get(pk=job.pk)
    if job.is_withdrawn:
        raise ValidationError("This job was withdrawn.")
    if job.steps.standing().filter(route_step__route=route).exists():
        raise ValidationError({"route": f"The steps of “{route}” are in this job already."})
    last = job.steps.aggregate(last=Max("position"))["last"] or 0
    sources = route.steps.standing().prefetch_related("needs", "parts")
    made: dict[int, Step] = {}
    for position, source in enumerate(sources, start=last + 1):
        made[source.pk] = _copy_step(job, source, position, by)
    for source in sources:
        _copy_needs(made[source.pk], source, made, by)
    return list(made.values())


def _copy_step(job: Job, source: RouteStep, position: int, by: User) -> Step:
    step = Step(
        job=job,
        position=position,
        title=source.title,
        text=source.text,
        cautions=source.cautions,
        hours_estimated=source.hours_estimated,
        role=source.role,
        route_step=source,
    )
    keep(step, by=by)
    for subject in source.touches:
        keep(RegulatedItem(job=job, step=step, touches=subject, what=source.title), by=by)
    for part in source.parts.all():
        keep(PartNeed(step=step, text=part.text, quantity=part.quantity), by=by)
    return step


def _copy_needs(step: Step, source: RouteStep, made: dict[int, Step], by: User) -> None:
    for need in source.needs.all():
        if need.decision:
            decision = keep(Decision(job=step.job, question=need.decision), by=by)
            keep(StepNeed(step=step, decision=decision), by=by)
        elif need.needs_step_id in made:
            keep(StepNeed(step=step, needs_step=made[need.needs_step_id]), by=by)
