"""Records for the addresses of orders: one order with a line, and one of everything that can happen to it."""

from datetime import timedelta
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.orders.models import Cancellation, Return
from tests.factories.orders import (
    make_chase,
    make_delivery,
    make_document,
    make_line,
    make_mail,
    make_order,
    make_promise,
)


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    today = timezone.localdate()
    order = make_order(ordered_on=today - timedelta(days=9))
    line = make_line(order=order, quantity=3)
    gone = {"line": line, "on": today, "quantity": 1, "reason": "cracked", "recorded_by": people["buyer"]}
    keys = {
        "order": order.pk,
        "line": line.pk,
        "supplier": order.supplier_id,
        "promise": make_promise(line=line, latest=today).pk,
        "delivery": make_delivery(line=line, quantity=1, on=today).pk,
        "return": Return.objects.create(**gone, money_back=5).pk,
        "cancellation": Cancellation.objects.create(**gone, money_back=5).pk,
        "chase": make_chase(order=order, text="When?\n\nPlease say.").pk,
        "document": make_document(order=order).pk,
        "mail": make_mail().pk,
    }
    names = {
        "order": ["order", "change", "withdraw", "line-new", "promise", "delivery", "chase", "letter", "attach"],
        "line": ["line-change", "send-back", "cancel"],
        "supplier": ["supplier", "supplier-change", "supplier-withdraw"],
        "promise": ["promise-withdraw"],
        "delivery": ["delivery-withdraw"],
        "return": ["return-withdraw", "return-money"],
        "cancellation": ["cancellation-withdraw", "cancellation-money"],
        "chase": ["chase-change", "chase-withdraw", "letter-print"],
        "document": ["document", "document-withdraw"],
        "mail": ["message", "message-again", "message-drop"],
    }
    return {f"orders:{name}": {"pk": keys[kind]} for kind, listed in names.items() for name in listed}
