"""What is done at once to many steps, or to many of the parts that steps need."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.base.bulk import MOVED, BulkAct, BulkList, Left, deletes
from shop.base.fields import DayField
from shop.base.forms import Form, ReasonForm
from shop.base.language import gettext_lazy
from shop.base.undo import undo_deletion
from shop.jobs.changes.steps import delete_part_need, delete_step, mark_here, mark_not_here, save_step
from shop.jobs.forms.steps import PersonField, people
from shop.jobs.models import PartNeed, Step
from shop.jobs.work_tables import NeededParts, StepTable

UNDONE = gettext_lazy("Undone together with the others that were changed with it.")


class AssignForm(Form):
    """Who does the steps from now on."""

    person = PersonField(
        people(), label=gettext_lazy("Assigned to"), required=False, empty_label=gettext_lazy("anyone of the trade")
    )


class ReceivedForm(Form):
    """When parts came without an order, and where from."""

    on = DayField(label=gettext_lazy("Here since"))
    note = forms.CharField(
        label=gettext_lazy("Where it came from"),
        max_length=200,
        help_text=gettext_lazy("The shelf, the donor, made here."),
    )


def assign(step: Step, answers: dict[str, Any], person: User, now: datetime) -> Left:
    """Give a step to a person, or to anyone of its trade."""
    before, step.person = step.person_id, answers["person"]
    save_step(step, person=person)
    return {"before": before, "given": step.person_id}


def assign_back(step: Step, left: Left, person: User, now: datetime) -> None:
    """Give a step back to whom it was assigned before, unless somebody assigned it again since."""
    if step.person_id != left["given"]:
        raise ValidationError(MOVED)
    step.person_id = left["before"]
    save_step(step, person=person, reason=UNDONE)


def received(need: PartNeed, answers: dict[str, Any], person: User, now: datetime) -> Left:
    """Mark all of a part as here."""
    mark_here(need, **answers, person=person, today=timezone.localdate(now))
    return {}


def not_received(need: PartNeed, left: Left, person: User, now: datetime) -> None:
    """Take back that a part is here."""
    if need.here_on is None:
        raise ValidationError(MOVED)
    mark_not_here(need, person=person, reason=UNDONE)


def all_steps() -> Any:
    """The unfinished steps of the jobs on record."""
    return Step.objects.unfinished().filter(job__deleted_at=None).select_related("job__vehicle", "person")


def all_parts() -> Any:
    """The parts that unfinished steps need."""
    rows = PartNeed.objects.active().filter(step__finished_at=None)
    return rows.select_related("component", "step__job__vehicle")


BULK = [
    BulkList(
        "jobs.step",
        all_steps,
        (
            BulkAct("assign", gettext_lazy("Assign"), "jobs.manage", assign, assign_back, AssignForm),
            deletes("jobs.manage", delete_step, undo_deletion, ReasonForm),
        ),
        table=lambda rows, today: StepTable(rows),
    ),
    BulkList(
        "jobs.part",
        all_parts,
        (
            BulkAct(
                "received",
                gettext_lazy("Mark as received"),
                "jobs.parts",
                received,
                not_received,
                ReceivedForm,
                initial=lambda: {"on": timezone.localdate()},
                note=gettext_lazy("For parts that came without an order. What was ordered is received on its order."),
            ),
            deletes("jobs.parts", delete_part_need, undo_deletion, ReasonForm),
        ),
        table=lambda rows, today: NeededParts(rows),
    ),
]
