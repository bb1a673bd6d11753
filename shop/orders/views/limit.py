"""The amount above which an order waits for the owner."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, edit_page
from shop.orders import sending
from shop.orders.forms.sending import LimitForm
from shop.orders.models import ApprovalLimit


@edits("orders.approve")
def limit_edit(request: SignedIn) -> HttpResponse:
    """Set the limit; empty: no order waits."""
    found, back = ApprovalLimit.objects.order_by("pk").first(), reverse("orders:orders")

    def save(form: Any) -> ApprovalLimit:
        return sending.set_limit(form.save(commit=False), person=request.user)

    words: Any = {"title": gettext("Limit of orders"), "save": save, "redirect_to": lambda limit: back}
    if found:
        return edit_page(request, found, LimitForm, **words)
    return create_page(request, LimitForm, back=back, **words)
