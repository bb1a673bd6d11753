"""Job templates: bringing in the shipped ones, writing our own, and applying one to a job."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max, Model
from django.utils.translation import gettext

from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.jobs import rules
from shop.jobs.changes.guards import guards, refuse_weaker, require_guard, weaken
from shop.jobs.models import (
    Decision,
    Job,
    JobTemplate,
    PartNeed,
    RegulatedItem,
    RequiredCheck,
    Step,
    StepNeed,
    TemplateCheck,
    TemplateNeed,
    TemplatePart,
    TemplateStep,
)
from shop.jobs.regulated import why_unknown
from shop.jobs.shipped_templates import ShippedStep, ShippedTemplate, shipped_templates


@transaction.atomic
def bring_in_shipped(*, person: User) -> list[JobTemplate]:
    """Keep the job templates that come with the shop, each once; one that the shop changed since is left as it is."""
    require(person, "jobs.templates")
    known = set(JobTemplate.objects.exclude(shipped_as="").values_list("shipped_as", flat=True))
    return [_bring_in(template, person) for template in shipped_templates() if template.key not in known]


def _bring_in(shipped: ShippedTemplate, person: User) -> JobTemplate:
    template = save_as(JobTemplate(name=shipped.name, purpose=shipped.purpose, shipped_as=shipped.key), person=person)
    made: dict[str, TemplateStep] = {}
    for position, step in enumerate(shipped.steps, start=1):
        made[step.key] = _bring_in_step(template, position, step, made, person)
    return template


def _bring_in_step(
    template: JobTemplate, position: int, shipped: ShippedStep, made: dict[str, TemplateStep], person: User
) -> TemplateStep:
    step = TemplateStep(
        template=template,
        position=position,
        title=shipped.title,
        text=shipped.text,
        cautions=shipped.cautions,
        hours_estimated=shipped.hours,
        role=shipped.role,
        hazard=shipped.hazard,
        touches=list(shipped.touches),
    )
    save_as(step, person=person)
    for key in shipped.after:
        save_as(TemplateNeed(step=step, needs_step=made[key]), person=person)
    for question in shipped.decisions:
        save_as(TemplateNeed(step=step, decision=question), person=person)
    for what, specified in shipped.checks:
        save_as(TemplateCheck(step=step, what=what, specified=specified), person=person)
    for text, quantity in shipped.parts:
        save_as(TemplatePart(step=step, text=text, quantity=quantity), person=person)
    return step


@transaction.atomic
def save_template(template: JobTemplate, *, person: User) -> JobTemplate:
    """Record a new job template, or a changed one."""
    require(person, "jobs.templates")
    return save_as(template, person=person)


@transaction.atomic
def delete_template(template: JobTemplate, *, person: User, reason: str, now: datetime) -> JobTemplate:
    """Take a job template out of use. Jobs that came of it keep their steps."""
    require(person, "jobs.templates")
    return delete_record(template, person=person, reason=reason, now=now)


@transaction.atomic
def save_template_step(
    step: TemplateStep,
    *,
    after: list[TemplateStep],
    person: User,
    questions: Sequence[str] = (),
    parts: Sequence[tuple[Decimal, str]] = (),
    checks: Sequence[tuple[str, str]] | None = None,
    reason: str = "",
) -> TemplateStep:
    """Record a step of a job template: what it comes after, which questions it waits for, its usual parts.

    A circle of needs is refused, and named. Weakening what guards a step is the owner's, with a reason. `checks` are
    pairs of what is checked and what is specified; None leaves them as they are.
    """
    require(person, "jobs.templates")
    if step.pk is not None:
        _refuse_weaker_template(step, after, questions, checks, parts, person=person, reason=reason)
    for subject in step.touches:
        if refused := why_unknown(subject):
            raise ValidationError({"touches": refused})
    if step.pk is None:
        step.position = 1 + (step.template.steps.aggregate(last=Max("position"))["last"] or 0)
    save_as(step, person=person)
    _set_needs(step, after, person)
    _set_questions(step, questions, person)
    _set_parts(step, parts, person)
    if checks is not None:
        _set_checks(step, checks, person)
    return step


def _refuse_weaker_template(
    step: TemplateStep,
    after: list[TemplateStep],
    questions: Sequence[str],
    checks: Sequence[tuple[str, str]] | None,
    parts: Sequence[tuple[Decimal, str]],
    *,
    person: User,
    reason: str,
) -> None:
    before = TemplateStep.objects.get(pk=step.pk)
    refuse_weaker(before=before, after=step, person=person, reason=reason)
    needs = set(before.needs.filter(needs_step__isnull=False).values_list("needs_step", flat=True))
    asked = set(before.needs.exclude(decision="").values_list("decision", flat=True))
    signed = set(before.checks.values_list("what", "specified"))
    fewer = any(
        (
            needs - {one.pk for one in after},
            asked - set(questions),
            signed - set(checks) if checks is not None else set(),
            set(before.parts.values_list("text", flat=True)) - {text for _, text in parts},
            set(before.touches) - set(step.touches),
        )
    )
    if guards(before) and fewer:
        what = gettext(
            "“{before}” of the template waits for less, or asks for fewer checks, parts or approvals"
        ).format(before=before)
        weaken(before, what=what, person=person, reason=reason)


def _set_checks(step: TemplateStep, checks: Sequence[tuple[str, str]], person: User) -> None:
    kept = {(check.what, check.specified): check for check in step.checks.all()}
    _set_rows(kept, checks, lambda one: TemplateCheck(step=step, what=one[0], specified=one[1]), person)


def _set_questions(step: TemplateStep, questions: Sequence[str], person: User) -> None:
    kept = {need.decision: need for need in step.needs.exclude(decision="")}
    _set_rows(kept, questions, lambda one: TemplateNeed(step=step, decision=one), person)


def _set_parts(step: TemplateStep, parts: Sequence[tuple[Decimal, str]], person: User) -> None:
    kept = {(part.quantity, part.text): part for part in step.parts.all()}
    _set_rows(kept, parts, lambda one: TemplatePart(step=step, quantity=one[0], text=one[1]), person)


def _set_rows(kept: Mapping[Any, Model], wanted: Iterable[Any], make: Callable[[Any], Model], person: User) -> None:
    """Delete the rows that nobody wants any more, and write those that are new."""
    wanted = dict.fromkeys(wanted)
    for gone in kept.keys() - wanted:
        kept[gone].delete()
    for one in wanted:
        if one not in kept:
            save_as(make(one), person=person)


def _set_needs(step: TemplateStep, after: list[TemplateStep], person: User) -> None:
    steps = {one.pk: one for one in step.template.steps.active()}
    if any(needed.pk not in steps or needed.pk == step.pk for needed in after):
        raise ValidationError({"after": gettext("Choose other steps of the same template.")})
    links: dict[Hashable, list[int]] = {key: [] for key in steps}
    status = TemplateNeed.objects.filter(step__in=steps, needs_step__in=steps).exclude(step=step)
    for one, first in status.values_list("step", "needs_step"):
        links[one].append(first)
    links[step.pk] = [needed.pk for needed in after]
    if circle := rules.find_circle(links, {key: one.title for key, one in steps.items()}):
        raise ValidationError({"after": str(rules.CircularNeedsError(circle))})
    kept = {need.needs_step_id: need for need in step.needs.filter(needs_step__isnull=False)}
    for key in kept.keys() - {needed.pk for needed in after}:
        kept[key].delete()
    for needed in after:
        if needed.pk not in kept:
            save_as(TemplateNeed(step=step, needs_step=needed), person=person)


@transaction.atomic
def delete_template_step(step: TemplateStep, *, person: User, reason: str, now: datetime) -> TemplateStep:
    """Take a step out of a job template. Refused while another step of it needs this one."""
    require_guard(step, person=person, action="jobs.templates")
    if needed := step.needed_by.filter(step__deleted_at=None).select_related("step").first():
        raise ValidationError(
            gettext("“{step}” needs this step first. Take that need away before this step.").format(step=needed.step)
        )
    if step.is_guarded:
        weaken(
            step, what=gettext("“{step}” was deleted from the template").format(step=step), person=person, reason=reason
        )
    return delete_record(step, person=person, reason=reason, now=now)


@transaction.atomic
def apply_template(*, job: Job, template: JobTemplate, person: User) -> list[Step]:
    """Copy a template's steps, with their needs, parts, questions and flags, to the end of a job.

    Refused when the job already has steps of this job template: twice the same steps is always a slip of the finger.
    """
    require(person, "jobs.manage")
    Job.objects.select_for_update().get(pk=job.pk)
    if job.is_deleted:
        raise ValidationError(gettext("This job was deleted."))
    if job.steps.active().filter(template_step__template=template).exists():
        raise ValidationError(
            {"template": gettext("The steps of “{template}” are in this job already.").format(template=template)}
        )
    last = job.steps.aggregate(last=Max("position"))["last"] or 0
    sources = template.steps.active().prefetch_related("needs", "parts", "checks")
    made: dict[int, Step] = {}
    for position, source in enumerate(sources, start=last + 1):
        made[source.pk] = _copy_step(job, source, position, person)
    for source in sources:
        _copy_needs(made[source.pk], source, made, person)
    return list(made.values())


def _copy_step(job: Job, source: TemplateStep, position: int, person: User) -> Step:
    step = Step(job=job, position=position, template_step=source, **source.what_it_says())
    save_as(step, person=person)
    for subject in source.touches:
        save_as(RegulatedItem(job=job, step=step, touches=subject, what=source.title), person=person)
    for check in source.checks.all():
        save_as(RequiredCheck(step=step, what=check.what, specified=check.specified), person=person)
    for part in source.parts.all():
        save_as(PartNeed(step=step, text=part.text, quantity=part.quantity), person=person)
    return step


def _copy_needs(step: Step, source: TemplateStep, made: dict[int, Step], person: User) -> None:
    for need in source.needs.all():
        if need.decision:
            decision = save_as(Decision(job=step.job, question=need.decision), person=person)
            save_as(StepNeed(step=step, decision=decision), person=person)
        elif need.needs_step_id in made:
            save_as(StepNeed(step=step, needs_step=made[need.needs_step_id]), person=person)
