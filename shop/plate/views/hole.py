"""A plate's own pages: clocking, its bolts with and without those left out, its thickness against what it must hold."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import edits
from shop.base.forms import ReasonForm
from shop.base.pages import ask_page, create_page
from shop.base.records import find_current
from shop.plate import changes as changes
from shop.plate.forms import (
    LeaveOutForm,
)
from shop.plate.layout import PlateLayout
from shop.plate.models import OmittedHole
from shop.plate.views.common import of_plate
from shop.worksheets.models import Worksheet


@edits("plate.make")
@of_plate
def hole_leave_out(request: HttpRequest, sheet: Worksheet, plate: PlateLayout) -> HttpResponse:
    """Leave a hole out of the plate, with the reason."""
    return create_page(
        request,
        LeaveOutForm,
        title=gettext("Leave a hole out of: {sheet}").format(sheet=sheet),
        back=reverse("plate:bolts", args=[sheet.pk]),
        initial={"place": request.GET.get("place", "")},
        plate=plate,
        save=lambda form: changes.leave_out_hole(entry=form.instance, person=request.user, now=timezone.now()),
    )


@edits("plate.make")
def hole_use_again(request: HttpRequest, pk: int) -> HttpResponse:
    """Take back that a hole is left out, with a reason."""
    entry = find_current(OmittedHole.objects.select_related("worksheet"), pk)
    return ask_page(
        request,
        ReasonForm,
        title=gettext("Use {plate_name} again").format(plate_name=entry.plate_name),
        button=gettext("Use it again"),
        do=lambda given: changes.use_again(
            entry=entry, reason=given["reason"], person=request.user, now=timezone.now()
        ),
        back=reverse("plate:bolts", args=[entry.worksheet_id]),
    )
