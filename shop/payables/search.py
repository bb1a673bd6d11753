from shop.base.search import Searched
from shop.orders.models import Supplier
from shop.payables.models import Invoice

SEARCHED = [
    Searched(
        "Invoice",
        42,
        Invoice,
        name=lambda invoice: f"Invoice {invoice.number}",
        words=lambda invoice: (invoice.supplier.name, invoice.notes),
        numbers=lambda invoice: (invoice.number,),
        note=lambda invoice: f"{invoice.supplier} · {'paid' if invoice.is_paid else 'not paid'}",
        read=lambda rows: rows.select_related("supplier"),
        told_by=((Supplier, lambda supplier: supplier.invoices.values_list("pk", flat=True)),),
        action="payables.see",
    )
]
