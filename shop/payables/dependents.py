"""What hangs on a delivery that somebody is about to delete, in words."""

from django.utils.translation import gettext

from shop.base.dependents import Rests
from shop.orders.models import Delivery
from shop.payables.models import InvoicedDelivery


def _of_delivery(delivery: Delivery) -> str:
    rows = InvoicedDelivery.objects.filter(delivery=delivery, invoice__deleted_at=None).select_related(
        "invoice__supplier"
    )
    named = ", ".join(
        gettext("{invoice} of {supplier}").format(invoice=one.invoice, supplier=one.invoice.supplier) for one in rows
    )
    return (
        gettext("It is matched to {named}, which would then be above what was delivered.").format(named=named)
        if named
        else ""
    )


RESTS = [Rests(Delivery, _of_delivery)]
