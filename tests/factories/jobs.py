"""Plain jobs, steps and needs for tests; every argument may be changed."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.utils import timezone

from shop.jobs.models import (
    Decision,
    Job,
    JobTemplate,
    JobTorque,
    Lesson,
    PartNeed,
    RegulatedItem,
    SignOff,
    Step,
    StepNeed,
    TemplateStep,
    TimeEntry,
)
from tests.factories.measuring import make_torque_spec
from tests.factories.people import make_person
from tests.factories.vehicles import make_vehicle


def make_job(**changes: Any) -> Job:
    vehicle = changes.pop("vehicle", None) or make_vehicle()
    return Job.objects.create(
        vehicle=vehicle, **{"title": "Five-speed behind the old six", "opened_on": date(2026, 3, 2), **changes}
    )


def make_step(**changes: Any) -> Step:
    job = changes.pop("job", None) or make_job()
    position = job.steps.count() + 1
    usual = {"title": f"Step {position}", "position": position, "hours_estimated": Decimal("2")}
    return Step.objects.create(job=job, **{**usual, **changes})


def make_step_need(step: Step, needs_step: Step) -> StepNeed:
    return StepNeed.objects.create(step=step, needs_step=needs_step)


def make_decision(**changes: Any) -> Decision:
    """An open question; give `step` to let that step wait for it."""
    step = changes.pop("step", None)
    job = changes.pop("job", None) or (step.job if step else make_job())
    decision = Decision.objects.create(job=job, **{"question": "Which ratios?", **changes})
    if step:
        StepNeed.objects.create(step=step, decision=decision)
    return decision


def make_part_need(**changes: Any) -> PartNeed:
    step = changes.pop("step", None) or make_step()
    usual = {"quantity": Decimal("1")} | ({} if "component" in changes else {"text": "clutch hose"})
    return PartNeed.objects.create(step=step, **{**usual, **changes})


def a_moment_ago() -> datetime:
    """A minute ago, and never yesterday, on which nobody may have worked."""
    now = timezone.localtime()
    return max(now - timedelta(minutes=1), now.replace(hour=0, minute=0, second=0, microsecond=0))


def make_begun_step(**changes: Any) -> Step:
    """A step that somebody worked on, today and on 2 March, so that signatures of both days are taken."""
    step = make_step(**changes)
    make_time_entry(step=step)
    make_time_entry(step=step, day=timezone.localdate())
    return step


def make_time_entry(**changes: Any) -> TimeEntry:
    step = changes.pop("step", None) or make_step()
    person = changes.pop("person", None) or make_person(roles=["fitter"])
    usual = {"day": date(2026, 3, 2), "hours": Decimal("2"), "recorded_by": person}
    return TimeEntry.objects.create(step=step, person=person, **{**usual, **changes})


def make_job_torque(**changes: Any) -> JobTorque:
    step = changes.pop("step", None)
    job = changes.pop("job", None) or (step.job if step else make_job())
    spec = changes.pop("torque_spec", None) or make_torque_spec(
        thread="M12", published_torque=85.0, published_typed="85 N·m", published_source="Teskel manual, ed. 3, p. 41"
    )
    return JobTorque.objects.create(job=job, torque_spec=spec, step=step)


def make_sign_off(**changes: Any) -> SignOff:
    step = changes.pop("step", None) or make_step()
    person = changes.pop("person", None) or make_person(roles=["fitter"])
    usual = {"what": "flywheel run-out", "result": "0.04 mm", "tool": "dial gauge 3", "done_at": timezone.now()}
    return SignOff.objects.create(step=step, person=person, **{**usual, **changes})


def make_regulated_item(**changes: Any) -> RegulatedItem:
    job = changes.pop("job", None) or make_job()
    return RegulatedItem.objects.create(job=job, **{"touches": "structure", "what": "tunnel opened", **changes})


def make_template(**changes: Any) -> JobTemplate:
    """A job template of the given `titles`, each step needing the one before it."""
    titles = changes.pop("titles", ("Measure", "Design", "Make"))
    template = JobTemplate.objects.create(**{"name": "Short template", **changes})
    before = None
    for position, title in enumerate(titles, start=1):
        step = TemplateStep.objects.create(template=template, position=position, title=title)
        if before:
            step.needs.create(needs_step=before)
        before = step
    return template


def make_lesson(**changes: Any) -> Lesson:
    written_by = changes.pop("written_by", None) or make_person(roles=["fitter"])
    usual = {
        "title": "Top bolt from above",
        "text": "Reach it through the shifter hole.",
        "written_on": date(2026, 3, 2),
    }
    return Lesson.objects.create(written_by=written_by, **{**usual, **changes})
