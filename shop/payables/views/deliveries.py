"""Everything that was delivered, by the day on which it came."""

from __future__ import annotations

from django.db.models import OuterRef, Subquery
from django.http import HttpResponse

from shop.base.access import SignedIn, reads
from shop.base.lists import list_page
from shop.payables.filters import DeliveryFilters
from shop.payables.models import InvoicedDelivery
from shop.payables.queries import counting_deliveries
from shop.payables.tables import Deliveries


@reads("payables.see")
def deliveries(request: SignedIn) -> HttpResponse:
    """Every delivery with its invoice; the file of it is for book-keeping by delivery date."""
    on_one = InvoicedDelivery.objects.filter(delivery=OuterRef("pk"), invoice__deleted_at=None)
    rows = counting_deliveries().annotate(invoice_number=Subquery(on_one.values("invoice__number")[:1]))
    return list_page(request, title="Deliveries", table=Deliveries, rows=rows, filters=DeliveryFilters)
