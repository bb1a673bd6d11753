from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.jobs.models import Approval, Beside, StepNeed
from tests.factories.jobs import (
    make_decision,
    make_job_torque,
    make_lesson,
    make_part_need,
    make_regulated_item,
    make_route,
    make_sign_off,
    make_spell,
    make_step,
)
from tests.factories.reference import make_specimen

BY_KIND = {
    "job": "job job-change job-withdraw route-apply beside-new torque-new worksheet-attach question-new regulated-new "
    "step-new",
    "beside": "beside-fit beside-withdraw",
    "torque": "torque-withdraw",
    "decision": "decide question-withdraw",
    "item": "regulated-withdraw approve",
    "approval": "approval-withdraw",
    "step": "step step-change step-withdraw step-move start pause finish reopen hours-new need-new part-new check",
    "spell": "spell-stop spell-correct",
    "need": "need-withdraw",
    "part": "part-change part-here part-gone part-withdraw",
    "sign_off": "sign-off-correct sign-off-confirm",
    "route": "route route-change route-withdraw route-step-new",
    "route_step": "route-step-change route-step-withdraw",
    "lesson": "lesson lesson-change lesson-withdraw",
}


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    """Values for the parts of this area's addresses."""
    step = make_step()
    found = _records(step, people["owner"])
    known = {f"jobs:{name}": {"pk": found[kind].pk} for kind, names in BY_KIND.items() for name in names.split()}
    return known | {"jobs:sign": {"pk": step.pk, "torque": found["torque"].pk}}


def _records(step: Any, person: User) -> dict[str, Any]:
    item = make_regulated_item(job=step.job)
    evidence = {"licensed_person": "R. Veld", "licence": "ST-119", "evidence": "certificate 40"}
    decision, route = make_decision(step=step), make_route()
    return {
        "job": step.job,
        "step": step,
        "beside": Beside.objects.create(job=step.job, specimen=make_specimen()),
        "torque": make_job_torque(step=step),
        "decision": decision,
        "item": item,
        "approval": Approval.objects.create(item=item, **evidence, passed_on=timezone.localdate(), recorded_by=person),
        "spell": make_spell(step=step),
        "need": StepNeed.objects.get(decision=decision),
        "part": make_part_need(step=step),
        "sign_off": make_sign_off(step=step),
        "route": route,
        "route_step": route.steps.last(),
        "lesson": make_lesson(),
    }
