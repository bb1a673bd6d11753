from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.undo import Undo
from shop.jobs.changes.jobs import refuse_taken
from shop.jobs.changes.steps import refuse_circle
from shop.jobs.models import (
    Decision,
    Job,
    JobTemplate,
    JobTorque,
    Lesson,
    PartNeed,
    RegulatedItem,
    RequiredCheck,
    SetAside,
    Step,
    StepNeed,
    TemplateStep,
)


def _refuse_need(need: StepNeed) -> None:
    """The network may have changed since: no circle, and no wait for a worksheet that left the job."""
    if need.needs_step is not None:
        refuse_circle(need.step, need.needs_step)
    if need.worksheet and need.worksheet not in need.step.job.worksheets.all():
        raise ValidationError(
            gettext("The worksheet “{worksheet}” was taken off the job since. Add it there first.").format(
                worksheet=need.worksheet
            )
        )


UNDO = [
    Undo(Job, "jobs.manage"),
    Undo(Step, "jobs.manage"),
    Undo(JobTemplate, "jobs.templates"),
    Undo(Lesson, "jobs.learn"),
    Undo(RequiredCheck, "jobs.manage", on_page_of="step"),
    Undo(
        StepNeed,
        "jobs.manage",
        check=_refuse_need,
        on_page_of="step",
        related=("needs_step", "worksheet", "decision"),
    ),
    Undo(PartNeed, "jobs.parts", on_page_of="step", related=("component",)),
    Undo(Decision, "jobs.manage", on_page_of="job"),
    Undo(JobTorque, "jobs.manage", on_page_of="job", related=("torque_spec__component", "step")),
    Undo(RegulatedItem, "jobs.regulated", on_page_of="job"),
    Undo(
        SetAside,
        "jobs.manage",
        check=lambda piece: refuse_taken(piece.specimen),
        on_page_of="job",
        related=("specimen__component",),
    ),
    Undo(TemplateStep, "jobs.templates", on_page_of="template"),
]
