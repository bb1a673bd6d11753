"""A plate's own pages: clocking, its bolts with and without those left out, its thickness against what it must hold."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from shop.base.access import reads
from shop.base.unchanged import while_unchanged
from shop.plate import changes as changes
from shop.plate.bolts import (
    BY_A_PERSON,
    compared,
    joint_of,
    neighbours,
    preloads,
    shown_rest,
    worked_out,
)
from shop.plate.forms import (
    JointForm,
)
from shop.plate.layout import PlateLayout
from shop.plate.views.common import of_plate, reader_system
from shop.worksheets.models import Worksheet
from specs.engine.calculation import BadInput
from specs.engine.units import System
from specs.models import Dimension, working_value
from specs.plate.sides import Side
from specs.queries import dimensions_with_readings


@reads()
@of_plate
def bolts(request: HttpRequest, sheet: Worksheet, plate: PlateLayout) -> HttpResponse:
    """The plate's joints with and without the bolts that cannot be used; what is left out, and who said so."""
    system = reader_system(request)
    side = Side.GEARBOX if request.GET.get("joint") == Side.GEARBOX else Side.ENGINE
    joint = joint_of(plate, side)
    known = preloads(plate, joint)
    form = JointForm(
        request.GET if "torque" in request.GET else None,
        joint=joint,
        preloads=known,
        system=system,
        initial={"joint": side, "torque": _engine_torque(plate), "mu": 0.15, "dowel_strength": 400e6},
    )
    shown: dict[str, Any] = {
        "title": gettext("Bolts: {sheet}").format(sheet=sheet),
        "worksheet": sheet,
        "plate": plate,
        "joint": joint,
        "form": form,
        "by_a_person": BY_A_PERSON,
        "kept": sheet.left_out.select_related("person", "deleted_by").order_by("-pk"),
    }
    if form.is_bound and form.is_valid():
        shown |= _joint_answers(form, system)
    return render(request, "plate/bolts.html", shown)


def _engine_torque(plate: PlateLayout) -> float | None:
    pattern = plate.pattern(Side.ENGINE)
    return _torque_of(pattern.component_id) if pattern else None


@while_unchanged
def _torque_of(engine: int) -> float | None:
    """What the engine gives, where that was read [N·m]."""
    own = Dimension.objects.filter(component=engine, kind="torque", name__icontains="engine torque")
    found = [working_value(dimension) for dimension in dimensions_with_readings(own)]
    return next((value.value for value in found if value), None)


def _joint_answers(form: JointForm, system: System) -> dict[str, Any]:
    joint, said = form.of_joint, form.cleaned_data
    given = (form.force, said["torque"].value, said["mu"].value, said["dowel_strength"].value)
    try:
        every, rest = (worked_out(joint.request(*given, omit, form.dowel_seat)) for omit in ((), form.omit))
    except BadInput as bad:
        form.add_error(None, " ".join(bad.errors.values()))
        return {}
    chosen = form.preloads.get(said["preload_from"])
    gaps = [(name, neighbours(joint, name)) for name in form.omit]
    return {
        "lines": compared(every, rest, system),
        "presented": shown_rest(rest, system),
        "omit": form.omit,
        "force": form.force,
        "scattered": chosen,
        "gaps": [(name, *near) for name, near in gaps if near],
    }
