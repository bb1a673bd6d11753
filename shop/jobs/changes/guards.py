"""What guards a step that runs, lifts, drives or hands over is the owner's to take away, with a reason that prints.

A step that a guarded one comes after, directly or through others, guards it too: its checks and tightenings are what
the other relies on.
"""

from __future__ import annotations

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.roles import require
from shop.jobs.changes.check_again import steps_after
from shop.jobs.models import GuardChange, Job, Step, TemplateStep
from shop.jobs.rules import is_guarded

_LONGEST = 300


def guards(step: Step | TemplateStep | None) -> bool:
    """Whether a step is guarded, or a guarded one comes after it, as a hand-over does after every other step."""
    if step is None or step.is_guarded:
        return step is not None
    if isinstance(step, TemplateStep):
        return _guards_in_template(step)
    return guards_hand_over(step.job) or steps_after(step).exclude(hazard="none").exists()


def guards_hand_over(job: Job) -> bool:
    """Whether a job's vehicle is handed over in a step of it: that waits for everything open in the job."""
    return job.steps.active().filter(hazard="hands over").exists()


def _guards_in_template(step: TemplateStep) -> bool:
    needs = TemplateStep.objects.active().filter(template=step.template_id, needs__needs_step__isnull=False)
    hazards = dict(TemplateStep.objects.active().filter(template=step.template_id).values_list("pk", "hazard"))
    links = list(needs.values_list("needs__needs_step", "pk"))
    after = {step.pk}
    while more := {later for before, later in links if before in after} - after:
        after |= more
    return any(is_guarded(hazards[key]) for key in after if key in hazards)


def require_guard(step: Step | TemplateStep | None, *, person: User, action: str = "jobs.manage") -> None:
    """Raise PermissionDenied unless the person may take something away from a step: what guards is the owner's."""
    require(person, action)
    if guards(step):
        require(person, "jobs.guard")


def weaken_job(job: Job, *, what: str, person: User, reason: str) -> None:
    """Take away something that stands on no step: where the hand-over waits for it, the owner's, with a reason."""
    if guards_hand_over(job):
        weaken(None, what=what, person=person, reason=reason, job=job)


def refuse_weaker(*, before: Step | TemplateStep, after: Step | TemplateStep, person: User, reason: str) -> None:
    """Refuse a changed hazard, or changed cautions and lines taken out of how a guarded step is done, but from the
    owner with a reason.
    """
    changed = []
    if before.hazard != after.hazard:
        nothing = gettext("nothing dangerous")
        changed.append(f"“{before}”: {before.hazard_text or nothing} → {after.hazard_text or nothing}")
    if before.is_guarded and before.cautions.split() != after.cautions.split():
        changed.append(
            gettext("cautions of “{before}”, before: {split}").format(
                before=before, split=" ".join(before.cautions.split())
            )
        )
    kept = {" ".join(line.split()) for line in after.text.splitlines()}
    gone = [line for line in map(str.strip, before.text.splitlines()) if line and " ".join(line.split()) not in kept]
    if before.is_guarded and gone:
        changed.append(
            gettext("taken out of how “{before}” is done: {gone}").format(before=before, gone=" ".join(gone))
        )
    if changed:
        weaken(after, what="; ".join(changed), person=person, reason=reason)


def weaken(
    step: Step | TemplateStep | None,
    *,
    what: str,
    person: User,
    reason: str,
    job: Job | None = None,
) -> GuardChange:
    """Record that the owner weakened what guards a step, or a job as a whole, and why; it is printed on the card."""
    require(person, "jobs.guard")
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why what guards this step changes.")})
    change = GuardChange(
        what=what[:_LONGEST],
        reason=reason.strip()[:_LONGEST],
        person=person,
    )
    change.job = job or (step.job if isinstance(step, Step) else None)
    change.step = step if isinstance(step, Step) else None
    change.template_step = step if isinstance(step, TemplateStep) else None
    change.full_clean(exclude=["job", "step", "template_step", "person"])
    change.save()
    return change
