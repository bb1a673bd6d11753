"""Measuring: one dimension's readings, taking one, letting one count, withdrawing a record."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shop.people.access import SignedIn, allowed
from shop.reference import changes
from shop.reference.forms.measuring import ChooseReadingForm, MeasureForm, withdraw_form
from shop.reference.words import show_dimension
from shop.ui.pages import create_page, edit_page
from shop.ui.reader import system_of
from specs.models import Dimension, Measurement
from specs.queries import dimensions_with_readings
from specs.readings import standing


@require_safe
def dimension(request: HttpRequest, pk: int) -> HttpResponse:
    """A dimension with every reading ever taken of it."""
    found = get_object_or_404(dimensions_with_readings(), pk=pk)
    shown = {
        "title": str(found),
        "dimension": found,
        "shown": show_dimension(found, system_of(request)),
        "standing_count": len(standing(found.measurements.all())),
        "history": found.history.select_related("history_user")[:20],
    }
    return render(request, "reference/dimension.html", shown)


@allowed("reference.measure")
def measure(request: SignedIn, pk: int) -> HttpResponse:
    """Take one reading: the page for the bench, one column, large targets."""
    found = get_object_or_404(dimensions_with_readings(), pk=pk)
    return create_page(
        request,
        MeasureForm,
        title=f"Measure {found.name}",
        template="reference/measure.html",
        context={"dimension": found, "shown": show_dimension(found, system_of(request))},
        save=lambda form: changes.record_measurement(dimension=found, person=request.user, **form.reading),
        dimension=found,
        today=timezone.localdate(),
        initial=_usual(request, found),
    )


def _usual(request: SignedIn, found: Dimension) -> dict[str, Any]:
    """The instrument that this person last used for the kind: gloves on, one field fewer to fill."""
    last = Measurement.objects.filter(person=request.user, dimension__kind=found.kind).order_by("-pk").first()
    return {"instrument": last.instrument} if last else {}


@allowed("reference.judge")
def choose_reading(request: SignedIn, pk: int) -> HttpResponse:
    """Let a reading count in place of the most recent one, with a reason."""
    found = get_object_or_404(Dimension.objects.select_related("component"), pk=pk)
    return edit_page(
        request,
        found,
        ChooseReadingForm,
        title=f"Which reading of {found.name} counts",
        save=lambda form: changes.choose_reading(
            dimension=form.instance,
            measurement=form.cleaned_data["chosen"],
            reason=form.cleaned_data["reason"],
            person=request.user,
        ),
    )


@allowed("reference.judge")
def withdraw(request: SignedIn, pk: int, model: type[Any]) -> HttpResponse:
    """Withdraw a record of any kind that can be withdrawn, with a reason."""
    record = get_object_or_404(model.objects.standing(), pk=pk)
    return edit_page(
        request,
        record,
        withdraw_form(model),
        title=f"Withdraw {record}",
        template="reference/withdraw.html",
        save=lambda form: changes.withdraw(
            record=form.instance, reason=form.cleaned_data["withdrawn_reason"], person=request.user
        ),
    )
