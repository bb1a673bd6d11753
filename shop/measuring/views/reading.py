"""Measuring: one dimension's readings, taking one, letting one count, deleting a record."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, system_of
from shop.base.pages import create_page, delete_page, edit_page
from shop.measuring import changes
from shop.measuring.forms.readings import ChooseReadingForm, MeasureForm
from shop.measuring.text import show_dimension
from specs.models import Dimension, Measurement
from specs.queries import dimensions_with_readings


@edits("measuring.measure")
def reading_new(request: SignedIn, pk: int) -> HttpResponse:
    """Take one reading: the page for the bench, one column, large targets."""
    found = get_object_or_404(dimensions_with_readings(), pk=pk)
    return create_page(
        request,
        MeasureForm,
        title=gettext("Measure {name}").format(name=found.name),
        template="measuring/reading_new.html",
        context={"dimension": found, "shown": show_dimension(found, system_of(request)), "so_far": _so_far(found)},
        save=lambda form: changes.record_measurement(dimension=found, person=request.user, **form.reading),
        dimension=found,
        today=timezone.localdate(),
        initial=_usual(request, found),
    )


def _so_far(found: Dimension) -> list[Measurement]:
    """The readings that count, the newest first."""
    current = [reading for reading in found.measurements.all() if not reading.is_deleted]
    return sorted(current, key=lambda reading: (reading.measured_on, reading.pk), reverse=True)


def _usual(request: SignedIn, found: Dimension) -> dict[str, Any]:
    """The instrument that this person last used for the kind: gloves on, one field fewer to fill."""
    last = Measurement.objects.filter(person=request.user, dimension__kind=found.kind).order_by("-pk").first()
    return {"instrument": last.instrument} if last else {}


@edits("measuring.judge")
def reading_choose(request: SignedIn, pk: int) -> HttpResponse:
    """Let a reading count in place of the most recent one, with a reason."""
    found = get_object_or_404(Dimension.objects.select_related("component"), pk=pk)
    return edit_page(
        request,
        found,
        ChooseReadingForm,
        title=gettext("Which reading of {name} counts").format(name=found.name),
        save=lambda form: changes.choose_reading(
            dimension=form.instance,
            measurement=form.cleaned_data["chosen"],
            reason=form.cleaned_data["reason"],
            person=request.user,
        ),
    )


@edits("measuring.judge")
def reading_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Delete a reading, with a reason."""
    reading = get_object_or_404(Measurement.objects.select_related("dimension__component"), pk=pk)
    return delete_page(
        request,
        reading,
        delete=lambda reason: changes.delete_with_reason(
            reading, person=request.user, reason=reason, now=timezone.now()
        ),
        of=reading.dimension,
        asks=gettext("Delete reading"),
    )
