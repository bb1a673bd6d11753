from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from shop.people.access import SignedIn, allowed
from shop.ui.lists import list_page
from shop.ui.pages import create_page, edit_page
from shop.vehicles import changes
from shop.vehicles.forms import CustomerForm, FitForm, TakeOutForm, VehicleForm
from shop.vehicles.models import Customer, Fitted, Vehicle
from shop.vehicles.pages import ask_page, withdraw_page
from shop.vehicles.tables import CustomerFilters, CustomerTable, VehicleFilters, VehicleTable, rows_asked


def vehicles(request: SignedIn) -> HttpResponse:
    rows = rows_asked(request, Vehicle.objects.all()).for_list()
    return list_page(
        request,
        title="Vehicles",
        table=VehicleTable,
        rows=rows,
        filters=VehicleFilters,
        template="vehicles/vehicles.html",
    )


def vehicle(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Vehicle.objects.select_related("customer", "withdrawn_by"), pk=pk)
    fitted = found.fitted.with_component()
    shown = {
        "vehicle": found,
        "title": str(found),
        "in_now": fitted.in_now(),
        "taken_out": fitted.taken_out().order_by("-until", "-pk"),
        "history": found.history.select_related("history_user"),
        "jobs": found.jobs.standing().for_list().with_beside(),
    }
    return render(request, "vehicles/vehicle.html", shown)


@allowed("vehicles.manage")
def vehicle_new(request: SignedIn) -> HttpResponse:
    customer = request.GET.get("customer", "")
    return create_page(
        request,
        VehicleForm,
        title="Record a vehicle",
        save=lambda form: changes.save_vehicle(form.save(commit=False), by=request.user),
        initial={"customer": customer if customer.isdecimal() else None},
    )


@allowed("vehicles.manage")
def vehicle_change(request: SignedIn, pk: int) -> HttpResponse:
    return edit_page(
        request,
        get_object_or_404(Vehicle, pk=pk),
        VehicleForm,
        title="Change vehicle",
        save=lambda form: changes.save_vehicle(form.save(commit=False), by=request.user),
    )


@allowed("vehicles.manage")
def vehicle_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Vehicle, pk=pk)
    return withdraw_page(
        request,
        found,
        do=lambda why: changes.withdraw_vehicle(found, by=request.user, why=why, now=timezone.now()),
        back=found.get_absolute_url(),
    )


def _named(given: dict[str, Any], *names: str) -> dict[str, Any]:
    """Only these of a form's answers: a form over a record carries its version besides."""
    return {name: given[name] for name in names}


@allowed("vehicles.manage")
def fit(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Vehicle, pk=pk)
    return ask_page(
        request,
        FitForm,
        title=f"Fit a piece: {found}",
        button="Record it as fitted",
        do=lambda given: changes.fit(
            vehicle=found, by=request.user, today=timezone.localdate(), **_named(given, "specimen", "place", "since")
        ),
        back=found.get_absolute_url(),
    )


@allowed("vehicles.manage")
def take_out(request: SignedIn, pk: int) -> HttpResponse:
    fitted = get_object_or_404(Fitted.objects.with_component().select_related("vehicle"), pk=pk)
    return ask_page(
        request,
        TakeOutForm,
        title=f"Take out: {fitted}",
        button="Record it as taken out",
        do=lambda given: changes.take_out(fitted, until=given["until"], by=request.user, today=timezone.localdate()),
        back=fitted.vehicle.get_absolute_url(),
        initial={"until": timezone.localdate()},
    )


@allowed("vehicles.manage")
def fitted_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    fitted = get_object_or_404(Fitted.objects.with_component().select_related("vehicle"), pk=pk)
    return withdraw_page(
        request,
        fitted,
        do=lambda why: changes.withdraw_fitted(fitted, by=request.user, why=why, now=timezone.now()),
        back=fitted.vehicle.get_absolute_url(),
        note="For an entry made by mistake. A piece that was taken out is recorded with its day instead.",
    )


def customers(request: SignedIn) -> HttpResponse:
    rows = rows_asked(request, Customer.objects.all()).for_list()
    return list_page(
        request,
        title="Customers",
        table=CustomerTable,
        rows=rows,
        filters=CustomerFilters,
        template="vehicles/customers.html",
    )


def customer(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Customer.objects.select_related("withdrawn_by"), pk=pk)
    shown = {
        "customer": found,
        "title": found.name,
        "vehicles": found.vehicles.standing().for_list(),
        "history": found.history.select_related("history_user"),
    }
    return render(request, "vehicles/customer.html", shown)


@allowed("vehicles.manage")
def customer_new(request: SignedIn) -> HttpResponse:
    return create_page(
        request,
        CustomerForm,
        title="Record a customer",
        save=lambda form: changes.save_customer(form.save(commit=False), by=request.user),
    )


@allowed("vehicles.manage")
def customer_change(request: SignedIn, pk: int) -> HttpResponse:
    return edit_page(
        request,
        get_object_or_404(Customer, pk=pk),
        CustomerForm,
        title="Change customer",
        save=lambda form: changes.save_customer(form.save(commit=False), by=request.user),
    )


@allowed("vehicles.manage")
def customer_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Customer, pk=pk)
    return withdraw_page(
        request,
        found,
        do=lambda why: changes.withdraw_customer(found, by=request.user, why=why, now=timezone.now()),
        back=found.get_absolute_url(),
    )
