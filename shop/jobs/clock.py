"""Who may write hours of whom, one at a time, and no more than a day has."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError

from shop.base.roles import require
from shop.jobs.hours_rules import why_not_logged
from shop.jobs.models import TimeEntry


def lock_clock(person: User) -> None:
    """Wait until nobody else writes hours of a person."""
    # One person's taps come one after the other: two quick ones would otherwise both find no clock running.
    User.objects.select_for_update().get(pk=person.pk)


def require_for(worker: User, *, person: User) -> None:
    """Raise PermissionDenied unless a person may write hours of `worker`."""
    require(person, "jobs.work" if worker == person else "jobs.correct")


def refuse_impossible(person: User, day: date, hours: Decimal, less: Decimal = Decimal(0)) -> None:
    """Raise ValidationError for hours that do not fit into a person's day, `less` those that they take the place of."""
    if refused := why_not_logged(hours, TimeEntry.objects.hours_on(person, day) - less):
        raise ValidationError({"hours": refused})
