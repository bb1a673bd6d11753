"""Records for the addresses of jobs."""

from datetime import timedelta
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.jobs.models import Approval, RequiredCheck, SetAside, StepNeed
from tests.factories.jobs import (
    make_decision,
    make_job,
    make_job_torque,
    make_lesson,
    make_part_need,
    make_regulated_item,
    make_sign_off,
    make_step,
    make_template,
    make_time_entry,
)
from tests.factories.measuring import make_specimen
from tests.factories.worksheets import make_worksheet


def examples(people: dict[str, User]) -> dict[str, Any]:
    step = make_step()
    torque, template = make_job_torque(step=step), make_template()
    item, decision = make_regulated_item(job=step.job), make_decision(step=step)
    sheet, yesterday = make_worksheet(), timezone.now() - timedelta(days=1)
    running = make_time_entry(step=step, day=yesterday.date(), started_at=yesterday, hours=None)
    make_job().worksheets.add(sheet)
    evidence = {"licensed_person": "R. Veld", "licence": "ST-119", "evidence": "certificate 40"}
    return {
        "jobs/": step.job,
        "jobs/steps/": step,
        "jobs/set-aside/": SetAside.objects.create(job=step.job, specimen=make_specimen()),
        "jobs/torques/": torque,
        "jobs/decisions/": decision,
        "jobs/regulated/": item,
        "jobs/approvals/": Approval.objects.create(
            item=item, **evidence, passed_on=timezone.localdate(), recorded_by=people["owner"]
        ),
        "jobs/checks/": RequiredCheck.objects.create(step=step, what="flywheel run-out"),
        "jobs/hours/": make_time_entry(step=step),
        "jobs/needs/": StepNeed.objects.get(decision=decision),
        "jobs/parts/": make_part_need(step=step),
        "jobs/sign-offs/": make_sign_off(step=step),
        "jobs/templates/": template,
        "jobs/templates/steps/": template.steps.last(),
        "jobs/lessons/": make_lesson(),
        "jobs:worksheet-remove": {"pk": sheet.jobs.get().pk, "worksheet": sheet.pk},
        "jobs:hours-stop": {"pk": running.pk},
        "jobs:sign-off-torque": {"pk": step.pk, "torque": torque.pk},
    }
