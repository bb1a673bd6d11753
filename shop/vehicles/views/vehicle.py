"""The pages of vehicles."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.vehicles import changes
from shop.vehicles.forms import VehicleForm
from shop.vehicles.models import Vehicle
from shop.vehicles.tables import (
    VehicleFilters,
    VehicleTable,
)
from shop.vehicles.text import fitted_rows, taken_out_rows
from specs.row_queries import put_together_once

_listed = put_together_once(Vehicle.objects.for_list)


@reads()
def vehicles(request: SignedIn) -> HttpResponse:
    rows = rows_asked(request, _listed())
    return list_page(
        request,
        title=gettext("Vehicles"),
        table=VehicleTable,
        rows=rows,
        filters=VehicleFilters,
    )


@reads()
def vehicle(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Vehicle.objects.select_related("customer", "deleted_by"), pk=pk)
    fitted = found.fitted.with_component()
    context = {
        "vehicle": found,
        "title": str(found),
        "in_now": (in_now := list(fitted.in_now())),
        "fitted_rows": fitted_rows(in_now, request.user),
        "deleted_pieces": found.fitted.exclude(deleted_at=None).with_component().select_related("deleted_by"),
        "taken_out": taken_out_rows(fitted.taken_out().order_by("-until", "-pk")),
        "history": found.history.select_related("history_user"),
    }
    return render(request, "vehicles/vehicle.html", context)


@edits("vehicles.manage")
def vehicle_new(request: SignedIn) -> HttpResponse:
    customer = request.GET.get("customer", "")
    return create_page(
        request,
        VehicleForm,
        title=gettext("Add vehicle"),
        save=lambda form: changes.save_vehicle(form.save(commit=False), person=request.user),
        initial={"customer": customer if customer.isdecimal() else None},
    )


@edits("vehicles.manage")
def vehicle_edit(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Vehicle, pk)
    return edit_page(
        request,
        found,
        VehicleForm,
        title=gettext("Edit {found}").format(found=found),
        save=lambda form: changes.save_vehicle(form.save(commit=False), person=request.user),
    )


@edits("vehicles.manage")
def vehicle_delete(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Vehicle, pk=pk)
    return delete_page(
        request,
        found,
        delete=lambda reason: changes.delete_vehicle(found, person=request.user, reason=reason, now=timezone.now()),
        of=found,
    )
