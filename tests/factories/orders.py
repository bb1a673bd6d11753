"""Plain suppliers and orders for tests; every argument may be changed."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from hashlib import sha256
from itertools import count
from typing import Any

from django.contrib.auth.models import User
from django.core.files.base import ContentFile
from django.utils import timezone

from shop.orders.changes import cancel_pieces, record_delivery, send_back
from shop.orders.models import Chase, Credit, Delivery, Document, Mail, Order, OrderLine, Promise, Return, Supplier
from tests.factories.people import make_person

_number = count(1)

PLACED = date(2026, 3, 2)


def order_number() -> str:
    """A number that no other order has."""
    return f"2026-{next(_number):03d}"


def make_supplier(**changes: Any) -> Supplier:
    return Supplier.objects.create(**{"name": f"Supplier {next(_number)}", "email": "sales@example.org", **changes})


def make_order(**changes: Any) -> Order:
    supplier = changes.pop("supplier", None) or make_supplier()
    person = changes.pop("ordered_by", None) or make_person()
    usual = {"number": order_number(), "ordered_on": PLACED, "reference": ""}
    return Order.objects.create(supplier=supplier, ordered_by=person, **{**usual, **changes})


def make_line(**changes: Any) -> OrderLine:
    """A line of one clutch kit unless changed; `promised` and `came` add a promise and a delivery."""
    promised, came = changes.pop("promised", None), changes.pop("came", None)
    order = changes.pop("order", None) or make_order()
    text = "" if changes.get("component") else "clutch kit"
    usual = {"text": text, "quantity": Decimal(1), "price": Decimal("180.00")}
    line = OrderLine.objects.create(order=order, **{**usual, **changes})
    if promised:
        make_promise(line=line, latest=promised)
    if came:
        make_delivery(line=line, on=came)
    return line


def make_promise(*, line: OrderLine, **changes: Any) -> Promise:
    """A promise made with the order, of one day unless `earliest` differs; no date when `latest` is None."""
    latest = changes.get("latest")
    usual = {"given_on": line.order.ordered_on, "earliest": latest, "words": "" if latest else "cannot say"}
    return Promise.objects.create(line=line, recorded_by=line.order.ordered_by, **{**usual, **changes})


def make_delivery(*, line: OrderLine, **changes: Any) -> Delivery:
    usual = {"on": line.order.ordered_on, "quantity": line.quantity}
    return Delivery.objects.create(line=line, recorded_by=line.order.ordered_by, **{**usual, **changes})


def make_chase(*, order: Order, **changes: Any) -> Chase:
    return Chase.objects.create(order=order, **{"on": order.ordered_on, "person": order.ordered_by, **changes})


def make_credit(*, returned: Return, **changes: Any) -> Credit:
    usual = {"on": returned.on, "amount": Decimal(2), "recorded_by": returned.recorded_by}
    return Credit.objects.create(returned=returned, **{**usual, **changes})


PDF = b"%PDF-1.4\n%%EOF\n"


def make_document(*, order: Order, **changes: Any) -> Document:
    """A kept paper; its file lies in MEDIA_ROOT, which every test has for itself."""
    content = changes.pop("content", PDF)
    usual = {"paper": "invoice", "name": "invoice.pdf", "content_type": "application/pdf", "size": len(content)}
    usual |= {"digest": sha256(content).hexdigest(), "attached_by": order.ordered_by}
    return Document.objects.create(order=order, file=ContentFile(content, "d.pdf"), **{**usual, **changes})


def make_mail(**changes: Any) -> Mail:
    usual = {"to": "sales@example.org", "subject": "When?", "body": "Please say.", "message_id": f"<{next(_number)}@t>"}
    return Mail.objects.create(**{**usual, **changes})


def make_undone(order: Order, texts: Sequence[str], *, person: User, reason: str, **sent_back: Any) -> None:
    """Four lines of an order by what they are called: one still to come, one cancelled, one of which a piece went back,
    one that came in part.
    """
    lines = [make_line(order=order, text=text, quantity=2, price=Decimal(10)) for text in texts]
    _, cancelled, back, in_part = (OrderLine.objects.with_story().get(pk=line.pk) for line in lines)
    today = timezone.localdate()
    told = {"on": today, "person": person, "today": today}
    cancel_pieces(cancelled, quantity=Decimal(2), reason=reason, **told)
    record_delivery(in_part, quantity=Decimal(1), **told)
    record_delivery(back, quantity=Decimal(2), **told)
    came = OrderLine.objects.with_story().get(pk=back.pk)
    send_back(came, quantity=Decimal(1), reason=reason, money_back=Decimal(10), **told, **sent_back)
