"""Records for the addresses of orders: one order with a line, and one of everything that can happen to it."""

from datetime import timedelta
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.orders.models import Cancellation, ListPrice, Return, SupplierClosure, SupplierContact, SupplierNumber
from tests.factories.orders import (
    make_chase,
    make_credit,
    make_delivery,
    make_document,
    make_line,
    make_mail,
    make_order,
    make_promise,
    make_supplier,
)
from tests.factories.stock import make_part


def examples(people: dict[str, User]) -> dict[str, Any]:
    today = timezone.localdate()
    supplier = make_supplier(language="French")
    order = make_order(ordered_on=today - timedelta(days=9), supplier=supplier)
    line = make_line(order=order, quantity=3)
    gone = {"line": line, "on": today, "quantity": 1, "reason": "cracked", "recorded_by": people["buyer"]}
    part = make_part()
    return {
        "orders/parts/": part,
        "orders/contact/": SupplierContact.objects.create(supplier=order.supplier, name="R. Veld"),
        "orders/closed/": SupplierClosure.objects.create(supplier=order.supplier, first=today, last=today),
        "orders/number/": SupplierNumber.objects.create(part=part, supplier=order.supplier),
        "orders/price/": ListPrice.objects.create(
            part=part, supplier=order.supplier, on=today, price=4, recorded_by=people["buyer"]
        ),
        "orders/": order,
        "orders/line/": line,
        "orders/suppliers/": order.supplier,
        "orders/promise/": make_promise(line=line, latest=today),
        "orders/delivery/": make_delivery(line=line, quantity=1, on=today),
        "orders/return/": (back := Return.objects.create(**gone, money_back=5)),
        "orders/credit/": make_credit(returned=back),
        "orders/cancellation/": Cancellation.objects.create(**gone, money_back=5),
        "orders/chase/": make_chase(order=order, text="When?\n\nPlease say."),
        "orders/document/": make_document(order=order),
        "orders/mail/": make_mail(),
    }
