"""The pages of customers."""

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
from shop.vehicles.forms import CustomerForm
from shop.vehicles.models import Customer
from shop.vehicles.tables import (
    CustomerFilters,
    CustomerTable,
)
from specs.row_queries import put_together_once

_listed = put_together_once(Customer.objects.for_list)


@reads()
def customers(request: SignedIn) -> HttpResponse:
    rows = rows_asked(request, _listed())
    return list_page(
        request,
        title=gettext("Customers"),
        table=CustomerTable,
        rows=rows,
        filters=CustomerFilters,
    )


@reads()
def customer(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Customer.objects.select_related("deleted_by"), pk=pk)
    context = {
        "customer": found,
        "title": found.name,
        "vehicles": found.vehicles.active().for_list(),
        "history": found.history.select_related("history_user"),
    }
    return render(request, "vehicles/customer.html", context)


@edits("vehicles.manage")
def customer_new(request: SignedIn) -> HttpResponse:
    return create_page(
        request,
        CustomerForm,
        title=gettext("Add customer"),
        save=lambda form: changes.save_customer(form.save(commit=False), person=request.user),
    )


@edits("vehicles.manage")
def customer_edit(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Customer, pk)
    return edit_page(
        request,
        found,
        CustomerForm,
        title=gettext("Edit {found}").format(found=found),
        save=lambda form: changes.save_customer(form.save(commit=False), person=request.user),
    )


@edits("vehicles.manage")
def customer_delete(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Customer, pk=pk)
    return delete_page(
        request,
        found,
        delete=lambda reason: changes.delete_customer(found, person=request.user, reason=reason, now=timezone.now()),
        of=found,
    )
