"""Finished jobs that rest on something which may have changed since; most of ten years rest on nothing."""

from __future__ import annotations

from collections.abc import Collection

from shop.jobs.models import (
    Decision,
    Job,
    JobTorque,
    PartNeed,
    RegulatedItem,
    RequiredCheck,
    SignOff,
    Step,
    StepNeed,
    StepOverride,
)
from shop.jobs.rules import WHOLE_JOB

OF_A_JOB = (JobTorque, RegulatedItem, Decision)
OF_A_STEP = (PartNeed, RequiredCheck, SignOff, StepOverride)
"""Whatever there is of these, `shop.jobs.standing` asks how it stands. A new one that decides belongs here."""


def resting(finished: Collection[int]) -> list[int]:
    """Those of finished jobs that are to be looked at: a step, a signature or the job rests on what can change.

    Left out is a job of which all that was recorded are finished steps, one after another, and hours. It says more of
    a job than is so rather than less: whether what it rests on changed is asked by the rule itself.
    """
    jobs = list(finished)
    steps: dict[int, int] = {}
    found: set[int] = set(Job.worksheets.through.objects.filter(job__in=jobs).values_list("job", flat=True))
    read = ("pk", "job", "hazard", "check_again", "pieces")
    for step, job, hazard, again, pieces in Step.objects.active().filter(job__in=jobs).values_list(*read):
        steps[step] = job
        if again or pieces or (pieces is not None and hazard in WHOLE_JOB):
            found.add(job)
    for model in OF_A_JOB:
        found.update(model._base_manager.filter(job__in=jobs).values_list("job", flat=True))
    # Another step of the job is finished as well, or deleted, and then it holds nothing up.
    awaits = StepNeed._base_manager.filter(step__in=steps, needs_step=None)
    for rows in (awaits, *(model._base_manager.filter(step__in=steps) for model in OF_A_STEP)):
        found.update(steps[step] for step in rows.values_list("step", flat=True))
    return [key for key in jobs if key in found]
