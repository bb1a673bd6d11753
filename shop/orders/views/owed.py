"""What suppliers owe the shop: money and pieces, with the days since."""

from __future__ import annotations

from decimal import Decimal

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.orders.credits import owed_to_us
from shop.orders.owed_text import owed_row


@reads("orders.prices")
def owed(request: SignedIn) -> HttpResponse:
    """Everything that suppliers owe for returns and cancellations, the longest owed first."""
    found, today = owed_to_us(), timezone.localdate()
    context = {
        "title": gettext("Owed to us"),
        "count": len(found),
        "rows": [owed_row(one, request.user, today) for one in found],
        "total": sum((one.in_ours for one in found), Decimal(0)),
        "unknown": sum(one.is_unknown for one in found),
    }
    return render(request, "orders/owed.html", context)
