"""Bringing in past orders from a file: look first, then write."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from shop.base.access import SignedIn, edits
from shop.orders.file_forms import ImportForm
from shop.orders.importing import COLUMNS, bring_in, read

SHOWN_ERRORS = 200


@edits("orders.order")
def order_import(request: SignedIn) -> HttpResponse:
    """Show what a file would do; with the second button do it."""
    sent = request.method == "POST"
    form = ImportForm(request.POST, request.FILES) if sent else ImportForm()
    context = {"title": "Import orders", "form": form, "columns": COLUMNS}
    if sent and form.is_valid():
        write, content = "write" in request.POST, form.content
        found = bring_in(found=read(content), person=request.user, today=timezone.localdate(), keep=write)
        if write and not found.errors:
            messages.success(request, f"{len(found.made)} orders were brought in, {len(found.left_alone)} left alone.")
            return redirect("orders:orders")
        form = ImportForm(initial={"text": content})
        context |= {"form": form, "found": found, "errors": found.errors[:SHOWN_ERRORS]}
    return render(request, "orders/order_import.html", context)
