"""What guards a step that runs, lifts, drives or hands over is taken away by the owner alone."""

from __future__ import annotations

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError

from shop.base.roles import require
from shop.jobs.models import Step, TemplateStep


def require_guard(step: Step | TemplateStep | None, *, person: User, action: str = "jobs.manage") -> None:
    """Raise PermissionDenied unless the person may take something away from a step: a guarded one is the owner's."""
    require(person, action)
    if step is not None and step.is_guarded:
        require(person, "jobs.guard")


def refuse_weaker(*, before: Step | TemplateStep, after: Step | TemplateStep, person: User, reason: str) -> None:
    """Refuse a changed hazard, or changed cautions of a guarded step, but from the owner with a reason."""
    changed = before.hazard != after.hazard
    changed = changed or (before.is_guarded and before.cautions.split() != after.cautions.split())
    if not changed:
        return
    require(person, "jobs.guard")
    if not reason.strip():
        raise ValidationError({"reason": "Say why what guards this step changes."})
