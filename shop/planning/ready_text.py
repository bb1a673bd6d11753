"""A step that can be worked on, as a row with its button; a late part as a row with what it holds up."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

from django.urls import reverse
from django.utils.translation import gettext

from shop.base import counted
from shop.base.language import capfirst, word
from shop.base.roles import may
from shop.base.rows import Row
from shop.orders.text import count

if TYPE_CHECKING:
    from shop.planning.ready import LatePart, ReadyStep


def work_row(ready: ReadyStep, person: Any, *, place: str = "", first: bool = True) -> Row:
    """The step with who has it, the hours that are left of its estimate, and Start, Pause or Continue for `person`.

    `place` says where it is, on a page of several vehicles.
    """
    step, running = ready.step, person in ready.running
    left = max(step.hours_estimated - step.hours_logged, step.hours_estimated * 0)
    press = reverse("jobs:step-pause" if running else "jobs:step-start", args=[step.pk])
    return Row(
        "ready",
        step,
        step.get_absolute_url(),
        " · ".join(filter(None, [place, _who(ready, person), _status(ready, person)])),
        f"{count(left)} h" if left else "",
        gettext("left") if left and step.hours_logged else "",
        act=gettext("Pause") if running else gettext("Continue") if ready.begun else gettext("Start"),
        post=press if may(person, "jobs.work") else "",
        first=first,
    )


def late_part_row(late: LatePart, today: date, address: str) -> Row:
    """The part with what it holds up and its days of delay; what was said of it, where no day is past."""
    days = (today - late.expected).days if late.expected else 0
    holds = gettext("Holds up {steps}").format(steps=late.holds)
    return Row(
        "late",
        capfirst(late.name),
        address,
        holds if days > 0 else " · ".join(filter(None, [holds, late.said])),
        counted.days(days) if days > 0 else "",
        gettext("late") if days > 0 else "",
        red=days > 0,
    )


def _who(ready: ReadyStep, person: Any) -> str:
    """Whose step it is; not said of one's own."""
    if ready.step.person is None:
        return gettext("any {role}").format(role=word(ready.step.role))
    return "" if ready.step.person == person else ready.step.person.get_full_name() or str(ready.step.person)


def _status(ready: ReadyStep, person: Any) -> str:
    if person in ready.running:
        return gettext("running")
    if ready.running:
        return ", ".join(one.get_full_name() or str(one) for one in ready.running) + gettext(" at it now")
    return gettext("begun") if ready.begun else ""
