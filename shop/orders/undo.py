from django.core.exceptions import ValidationError

from shop.base.undo import Undo
from shop.orders import refusals
from shop.orders.credits import refuse_too_much_credit
from shop.orders.models import (
    Cancellation,
    Chase,
    Credit,
    Delivery,
    Document,
    ListPrice,
    Order,
    OrderLine,
    Promise,
    Return,
    Supplier,
    SupplierClosure,
    SupplierContact,
    SupplierNumber,
)


def _refuse_too_many(event: Delivery | Return | Cancellation) -> None:
    """What was recorded since may have taken its place: no more comes back than a new record could say."""
    OrderLine.objects.select_for_update().get(pk=event.line_id)
    line = OrderLine.objects.with_story().get(pk=event.line_id).as_rule()
    errors = refusals.refuse_event(line, event.kind, on=event.on, quantity=event.quantity, today=event.on)
    if errors:
        raise ValidationError(" ".join(errors.values()))


UNDO = [
    Undo(SupplierContact, "orders.order", on_page_of="supplier", related=("supplier",)),
    Undo(SupplierClosure, "orders.order", on_page_of="supplier", related=("supplier",)),
    Undo(SupplierNumber, "stock.parts", on_page_of="part", related=("supplier",)),
    Undo(ListPrice, "orders.order", on_page_of="part", related=("part", "supplier")),
    Undo(Order, "orders.order"),
    Undo(Supplier, "orders.order"),
    Undo(Chase, "orders.chase"),
    Undo(Document, "orders.attach"),
    Undo(Credit, "orders.order", check=refuse_too_much_credit),
    Undo(Promise, "orders.promise"),
    Undo(Delivery, "orders.receive", check=_refuse_too_many),
    Undo(Return, "orders.receive", check=_refuse_too_many),
    Undo(Cancellation, "orders.order", check=_refuse_too_many),
]
