"""A plate's own pages: clocking, its bolts with and without those left out, its thickness against what it must hold."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any, cast

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from shop.cards import plate_changes as changes
from shop.cards.bolts import BY_A_PERSON, compared, joint_of, neighbours, preloads, shown_rest, worked_out
from shop.cards.clocking import Clocking
from shop.cards.forms import ClockingForm, JointForm, LeaveOutForm, MakingForm
from shop.cards.models import LeftOut, PlateMaking
from shop.cards.plate import PLATE, Plate, read_state
from shop.cards.stack import missing, stack_of, thickness_dimension
from shop.people.access import allowed
from shop.people.queries import preferences_of
from shop.reference.forms.measuring import withdraw_form
from shop.reference.presenting import present
from shop.ui.pages import create_page, edit_page
from shop.worksheets.models import Worksheet
from shop.worksheets.today import worksheet_state
from specs.drawings import svg
from specs.entry import BadInput
from specs.machining import Side, plate_name
from specs.models import Dimension
from specs.plate_thickness import needs
from specs.queries import dimensions_with_readings, working_value
from specs.units import System


def _system(request: HttpRequest) -> System:
    return cast(System, preferences_of(request.user).units)


def of_plate(
    view: Callable[[HttpRequest, Worksheet, Plate], HttpResponse],
) -> Callable[[HttpRequest, int], HttpResponse]:
    """Give a page its plate, read from the worksheet; where it cannot be worked out today, say why instead."""

    @wraps(view)
    def page(request: HttpRequest, pk: int) -> HttpResponse:
        sheet = get_object_or_404(Worksheet, pk=pk, calculation=PLATE)
        try:
            plate = read_state(worksheet_state(sheet))
        except ValidationError as why:
            shown = {"title": str(sheet), "subject": sheet, "why": why.messages}
            return render(request, "cards/refused.html", shown)
        return view(request, sheet, plate)

    return page


@require_safe
@of_plate
def clocking(request: HttpRequest, sheet: Worksheet, plate: Plate) -> HttpResponse:
    """Both patterns on one axis at any angle, and the angles at which nothing clashes."""
    given = plate.given
    usual = {"rotation": given.rotation, "ligament": given.ligament, "edge": given.edge}
    form = ClockingForm(request.GET if "rotation" in request.GET else None, initial=usual, system=_system(request))
    shown: dict[str, Any] = {"title": f"Clocking: {sheet}", "worksheet": sheet, "plate": plate, "form": form}
    asked = _asked(form, usual)
    if asked is not None:
        try:
            found = Clocking(plate, plate.as_cut(**asked))
            drawing = plate.calculation.drawing(found.given, found.answer.found)  # type: ignore[misc]
            shown |= {"found": found, "svg": svg.write(drawing, "clocking") if drawing else ""}
        except BadInput as bad:
            shown["why"] = bad.errors
    return render(request, "cards/clocking.html", shown)


def _asked(form: ClockingForm, usual: dict[str, Any]) -> dict[str, Any] | None:
    """What to try (SI): as typed, the worksheet's own where nothing was asked, None where it cannot be read."""
    if not form.is_bound:
        return usual
    if not form.is_valid():
        return None
    return {name: reading.value if reading else None for name, reading in form.cleaned_data.items()}


@require_safe
@of_plate
def bolts(request: HttpRequest, sheet: Worksheet, plate: Plate) -> HttpResponse:
    """The plate's joints with and without the bolts that cannot be used; what is left out, and who said so."""
    system = _system(request)
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
        "title": f"Bolts: {sheet}",
        "worksheet": sheet,
        "plate": plate,
        "joint": joint,
        "form": form,
        "by_a_person": BY_A_PERSON,
        "kept": sheet.left_out.select_related("person", "withdrawn_by").order_by("-pk"),
    }
    if form.is_bound and form.is_valid():
        shown |= _joint_answers(form, system)
    return render(request, "cards/bolts.html", shown)


def _engine_torque(plate: Plate) -> float | None:
    pattern = plate.pattern(Side.ENGINE)
    if pattern is None:
        return None
    own = Dimension.objects.filter(component=pattern.component_id, kind="torque", name__icontains="engine torque")
    found = [working_value(dimension) for dimension in dimensions_with_readings(own)]
    return next((value.value for value in found if value), None)


def _joint_answers(form: JointForm, system: System) -> dict[str, Any]:
    joint, said = form.of_joint, form.cleaned_data
    given = (form.force, said["torque"].value, said["mu"].value, said["dowel_strength"].value)
    try:
        every, rest = (worked_out(joint.request(*given, omit)) for omit in ((), form.omit))
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


@allowed("cards.plate")
@of_plate
def leave_out(request: HttpRequest, sheet: Worksheet, plate: Plate) -> HttpResponse:
    """Leave a hole out of the plate, with the reason."""
    return create_page(
        request,
        LeaveOutForm,
        title=f"Leave a hole out of: {sheet}",
        back=reverse("cards:plate-bolts", args=[sheet.pk]),
        initial={"place": request.GET.get("place", "")},
        plate=plate,
        save=lambda form: changes.leave_out_hole(entry=form.instance, person=request.user, now=timezone.now()),
    )


@allowed("cards.plate")
def use_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Withdraw what left a hole out, with a reason."""
    entry = get_object_or_404(LeftOut.objects.standing().select_related("worksheet"), pk=pk)
    return edit_page(
        request,
        entry,
        withdraw_form(LeftOut),
        title=f"Use {entry.plate_name} again",
        template="cards/use_again.html",
        save=lambda form: changes.use_again(
            entry=form.instance,
            reason=form.cleaned_data["withdrawn_reason"],
            person=request.user,
            now=timezone.now(),
        ),
    )


@require_safe
@of_plate
def thickness(request: HttpRequest, sheet: Worksheet, plate: Plate) -> HttpResponse:
    """How thick the plate must be for its threads, heads and dowels, and what the axial stack lets it be."""
    system = _system(request)
    holes = [(plate_name(side, hole.name), hole) for side in Side for hole in plate.holes[side]]
    making = plate.making
    found = needs(holes, plate.thickness, making.alloy, making.grade, making.floor)
    dimension = thickness_dimension(plate)
    stack = stack_of(dimension, system)
    most = max((need for need in found if need.needed is not None), key=lambda need: need.needed, default=None)  # type: ignore[arg-type, return-value]
    shown = {
        "title": f"Thickness: {sheet}",
        "worksheet": sheet,
        "plate": plate,
        "making": making,
        "needs": [(need, need.held(plate.thickness), need.needed and need.needed / 1000) for need in found],
        "most": most,
        "answers": [
            (need, present(need.answer.calculation, need.answer.given, need.answer.found, system))
            for need in found
            if need.answer
        ],
        "dimension": dimension,
        "stack": stack,
        "missing": missing(stack),
    }
    return render(request, "cards/thickness.html", shown)


@allowed("cards.plate")
@of_plate
def making(request: HttpRequest, sheet: Worksheet, plate: Plate) -> HttpResponse:
    """Say what the plate is made of and how its bolts sit."""
    kept = plate.making
    title = f"How the plate is made: {sheet}"
    back = reverse("cards:plate-thickness", args=[sheet.pk])

    def save(form: Any) -> PlateMaking:
        return changes.keep_making(making=form.instance, person=request.user)

    if kept.pk:
        return edit_page(request, kept, MakingForm, title=title, back=back, save=save, plate=plate)
    return create_page(request, MakingForm, title=title, back=back, save=save, instance=kept, plate=plate)
