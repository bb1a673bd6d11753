from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.search import Searched
from shop.orders.models import Supplier
from shop.payables.models import Invoice

SEARCHED = [
    Searched(
        gettext_lazy("Invoice"),
        42,
        Invoice,
        name=lambda invoice: gettext("Invoice {number}").format(number=invoice.number),
        words=lambda invoice: (invoice.supplier.name, invoice.notes),
        numbers=lambda invoice: (invoice.number,),
        note=lambda invoice: f"{invoice.supplier} · {gettext('paid') if invoice.is_paid else gettext('not paid')}",
        read=lambda rows: rows.select_related("supplier"),
        told_by=((Supplier, lambda supplier: supplier.invoices.values_list("pk", flat=True)),),
        action="payables.see",
    )
]
