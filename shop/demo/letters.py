"""A letter of each kind, drafted from the demo's record as a person would, and kept as sent."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError

from shop.jobs.models import Job
from shop.orders import changes
from shop.orders.letter_drafts import LETTER_KINDS, draft_letter
from shop.orders.models import Order, OrderLine, Supplier
from shop.planning.inputs import read_shop
from shop.print.changes import write_to_customer
from shop.print.customer_draft import CUSTOMER_LETTERS, draft_customer_letter

if TYPE_CHECKING:
    from shop.demo.world import World


def make(world: World) -> None:
    """Order two things for the shelf, send one back and cancel one; then write each letter once."""
    hoses, studs = _hoses(world), _studs(world)
    late = Order.objects.filter(lines__in=OrderLine.objects.overdue(world.today)).order_by("-ordered_on", "-pk")
    for kind in LETTER_KINDS:
        _to_a_supplier(kind.about, [studs, hoses] if kind.about else late, world)
    for about in (one.about for one in CUSTOMER_LETTERS):
        _to_a_customer(about, world)


def _hoses(world: World) -> Order:
    """Hoses that came too short: one is sent back."""
    order = _order(world, "Pellworth Hydraulics", 12, [("braided hose, 900 mm", 2, "28.40")])
    (line,) = _lines(order)
    wren, today = world.people["wren"], world.today
    changes.record_delivery(line, on=world.day(-4), quantity=Decimal(2), person=wren, today=today)
    why, money = "600 mm long, not 900 mm", Decimal("28.40")
    changes.send_back(
        line,
        on=world.day(-1),
        quantity=Decimal(1),
        reason=why,
        money_back=money,
        to_be_replaced=False,
        person=wren,
        today=today,
    )
    return order


def _studs(world: World) -> Order:
    """An order of yesterday that nobody confirmed; one set came, the dowels were found on the shelf."""
    parts = [("studs M10, set", 2, "17.80"), ("dowels 12 m6, pair", 1, "6.40")]
    order = _order(world, "Quarry Lane Fasteners", 1, parts)
    studs, dowels = _lines(order)
    wren = world.people["wren"]
    changes.record_delivery(studs, on=world.today, quantity=Decimal(1), person=wren, today=world.today)
    changes.cancel_pieces(
        dowels, on=world.today, quantity=Decimal(1), reason="found on the shelf", person=wren, today=world.today
    )
    return order


def _order(world: World, supplier: str, days_ago: int, parts: Iterable[tuple[str, int, str]]) -> Order:
    order = Order(supplier=Supplier.objects.get(name=supplier), ordered_on=world.day(-days_ago))
    lines = [OrderLine(text=text, quantity=Decimal(count), price=Decimal(price)) for text, count, price in parts]
    changes.place_order(order=order, lines=lines, person=world.people["wren"], today=world.today)
    return order


def _lines(order: Order) -> list[OrderLine]:
    return list(OrderLine.objects.filter(order=order).with_story().order_by("pk"))


def _to_a_supplier(about: str, orders: Iterable[Order], world: World) -> None:
    """Write about the first order of which there is something of the kind to write."""
    wren = world.people["wren"]
    for order in orders:
        try:
            written = draft_letter(order, about, wren, world.today)
        except ValidationError:
            continue
        changes.send_letter(
            order,
            by_mail=False,
            to="",
            subject=written.subject,
            body=written.body,
            ask_again_on=None,
            person=wren,
            today=world.today,
        )
        return


def _to_a_customer(about: str, world: World) -> None:
    """Write about the first job of which the record bears the letter out."""
    hedda = world.people["hedda"]
    for job in Job.objects.active().select_related("vehicle__customer").order_by("pk"):
        try:
            written = draft_customer_letter(job, about, hedda, world.today, read_shop)
        except ValidationError:
            continue
        write_to_customer(
            job, by_mail=False, to="", subject=written.subject, body=written.body, person=hedda, today=world.today
        )
        return
