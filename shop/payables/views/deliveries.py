"""Everything that was delivered, by the day on which it came."""

from __future__ import annotations

from typing import Any

from django.db.models import Exists, OuterRef
from django.db.models.functions import Coalesce
from django.http import HttpResponse
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.base.lists import list_page
from shop.payables.filters import DeliveryFilters
from shop.payables.models import InvoicedDelivery, InvoicedLine
from shop.payables.queries import counting_deliveries
from shop.payables.tables import Deliveries
from specs.row_queries import OfEachRow, put_together_once


@reads("payables.see")
def deliveries(request: SignedIn) -> HttpResponse:
    """Every delivery with its invoice; the file of it is for book-keeping by delivery date."""
    return list_page(request, title=gettext("Deliveries"), table=Deliveries, rows=_listed(), filters=DeliveryFilters)


@put_together_once
def _listed() -> Any:
    """Every delivery that counts with what its line in the list says."""
    on_one = InvoicedDelivery.objects.filter(delivery=OuterRef("pk"), invoice__deleted_at=None)
    # Paid before it came: on the invoice of its line that no delivery of that line is matched to.
    matched = InvoicedDelivery.objects.filter(invoice=OuterRef("invoice"), delivery__line=OuterRef("line"))
    ahead = InvoicedLine.objects.filter(~Exists(matched), line=OuterRef("line"), invoice__deleted_at=None)
    number = Coalesce(*(OfEachRow(found.values("invoice__number")[:1]) for found in (on_one, ahead)))
    rows: Any = counting_deliveries()
    rows = rows.with_only("line", "text", "component", "order", "price")
    rows = rows.with_only("line__component", "maker", "name").with_only("line__order__supplier", "name")
    rows = rows.with_only("line__order", "number", "currency", "rate", "discount_percent", "tax_percent", "supplier")
    return rows.annotate(invoice_number=number)
