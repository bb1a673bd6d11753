"""The pages of one thing that `pages.py` measures: of each kind the demo's record that shows most."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

CALCULATION, QUESTION = "plate-layout", "will-this-clutch-hold"


def one_thing() -> dict[str, str]:
    """The address of each page by its name in the table."""
    from django.contrib.auth.models import User
    from django.db.models import Count
    from django.urls import reverse

    from shop.jobs.models import Job, Step
    from shop.jobs.standing import open_jobs
    from shop.orders.models import Order, Supplier
    from shop.stock.models import Part
    from shop.vehicles.models import Vehicle
    from shop.worksheets.models import Worksheet
    from specs.models import Component, Dimension, TorqueSpec

    def most(records: Any, of: str) -> Any:
        return records.annotate(many=Count(of)).order_by("-many", "pk").first()

    plate = Worksheet.objects.filter(calculation=CALCULATION).order_by("pk").first()
    records = {
        "job": open_jobs(Job.objects.all()).order_by("pk").first(),
        "order": Order.objects.order_by("pk").first(),
        "supplier": Supplier.objects.get(name="Torvik 0"),
        "dimension": Dimension.objects.get(name="width 0"),
        "step": most(Step.objects.filter(finished_at=None), "job_torques"),
        "signed step": most(Step.objects.all(), "sign_offs"),
        "worksheet": plate,
        "component": most(Component.objects.all(), "dimensions"),
        "vehicle": most(Vehicle.objects.all(), "jobs"),
        "part": most(Part.objects.all(), "order_lines"),
        "torque spec": TorqueSpec.objects.order_by("pk").first(),
    }
    from specs.engine.calculation import calculations
    from specs.engine.question import questions

    return {name: record.get_absolute_url() for name, record in records.items()} | {
        "person": reverse("people:person", args=[User.objects.get(username="jonas").pk]),
        "plate thickness": reverse("plate:thickness", args=[plate.pk]),
        "plate bolts": reverse("plate:bolts", args=[plate.pk]),
        "plate clocking": reverse("plate:clocking", args=[plate.pk]),
        "what if": reverse("worksheets:worksheet-what-if", args=[plate.pk]),
        "worksheet form": reverse("worksheets:worksheet-edit", args=[plate.pk]),
        "calculation": _answered("calculation", CALCULATION, calculations()[CALCULATION].example),
        "question": _answered("question", QUESTION, questions()[QUESTION].example),
    }


def _answered(kind: str, name: str, example: Mapping[str, Any]) -> str:
    from django.urls import reverse

    from shop.calculate.address import as_address

    return f"{reverse(f'calculate:{kind}', args=[name])}?{as_address(example).urlencode()}"
