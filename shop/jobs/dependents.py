"""What of a job rests on a vehicle, a torque spec, a worksheet, a step or a decision."""

from typing import Any

from django.utils.translation import gettext

from shop.base.dependents import Resting, Rests, named
from shop.jobs.models import Decision, Job, JobTorque, Step, StepNeed, TemplateStep, TorqueTie
from shop.vehicles.models import Vehicle
from shop.worksheets.models import Worksheet
from specs.models import TorqueSpec


def _of_spec(spec: TorqueSpec) -> list[Resting]:
    jobs = Job.objects.active().filter(pk__in=JobTorque.objects.active().filter(torque_spec=spec).values("job"))
    return named(gettext("Jobs that tighten by it and would have no torque"), jobs.select_related("vehicle"))


def _of_worksheet(sheet: Worksheet) -> list[Resting]:
    ties = (
        TorqueTie.objects.active().filter(record__worksheet=sheet).select_related("job_torque__torque_spec__component")
    )
    return [
        *named(gettext("Jobs with it"), sheet.jobs.active().select_related("vehicle")),
        *_waiting(worksheet=sheet),
        *named(gettext("Torques taken from it"), (tie.job_torque for tie in ties)),
    ]


def _waiting(**thing: Any) -> list[Resting]:
    needs = StepNeed.objects.active().filter(step__deleted_at=None, step__job__deleted_at=None, **thing)
    return named(gettext("Steps that wait for it"), (need.step for need in needs.select_related("step")))


def _after(step: TemplateStep) -> list[Resting]:
    needs = step.needed_by.filter(step__deleted_at=None).select_related("step__template")
    return named(gettext("Steps that come after it"), (need.step.title for need in needs))


RESTS = [
    Rests(Vehicle, lambda vehicle: named(gettext("Jobs on it, to be deleted first"), vehicle.jobs.active()), True),
    Rests(TorqueSpec, _of_spec),
    Rests(Worksheet, _of_worksheet),
    Rests(Step, lambda step: _waiting(needs_step=step), True),
    Rests(Decision, lambda decision: _waiting(decision=decision), True),
    Rests(TemplateStep, _after, True),
]
