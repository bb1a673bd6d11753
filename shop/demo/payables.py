"""What the demo's suppliers ask and owe: invoices that agree, differ or are overdue, a credit note, an insolvency."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from django.db.models import Max

from shop.base.money import to_cents
from shop.orders import changes
from shop.orders.credits import record_credit
from shop.orders.models import Credit, Order, OrderLine, Supplier
from shop.payables.changes import Asked, pay_invoice, record_invoice
from shop.payables.models import Invoice

if TYPE_CHECKING:
    from shop.demo.world import World

TERM = timedelta(days=30)
NET = Decimal(1)
DEARER = Decimal("1.05")


def make(world: World) -> None:
    """Bill and pay what came long ago; leave one invoice of each kind open; let one supplier go under."""
    _insolvent(world)
    _credited(world)
    came = Order.objects.annotate(came_on=Max("lines__came_on")).exclude(lines__awaited=True)
    for order in came.filter(came_on__lt=world.day(-45)).order_by("pk"):
        invoice = _bill(world, order, dated=order.came_on)
        _pay(world, invoice, min(invoice.due, world.day(-1)))
    recent = came.filter(came_on__gte=world.day(-45)).order_by("came_on", "pk")
    for order, (dearer, freight, dated) in zip(recent, OPEN, strict=False):
        on = max(order.came_on, world.day(dated))
        _bill(world, order, dated=on, dearer=dearer, freight=Decimal(freight))


OPEN = ((DEARER, 0, -34), (NET, 18, -26), (NET, 0, -20))
"""The invoices not paid yet: by how much dearer than ordered, freight that nobody agreed, days from today."""


def _bill(world: World, order: Order, *, dated: date, dearer: Decimal = NET, freight: Decimal = Decimal(0)) -> Invoice:
    """Record the invoice of an order, for all of it that came."""
    lines = OrderLine.objects.filter(order=order).prefetch_related("deliveries")
    asked = [Asked(line, came, to_cents(line.price * dearer)) for line in lines if (came := _came(line))]
    net = sum((to_cents(one.quantity * one.price) for one in asked), freight)
    invoice = Invoice(
        supplier=order.supplier,
        number=f"{order.supplier.name[:2].upper()}-{order.number}",
        on=dated,
        due=dated + TERM,
        amount=order.taxed(net).with_tax,
        freight=freight,
    )
    return record_invoice(invoice, lines=asked, person=world.people["wren"], today=world.today)


def _came(line: OrderLine) -> Decimal:
    return sum((one.quantity for one in line.deliveries.all()), Decimal(0))


def _pay(world: World, invoice: Invoice, on: date) -> None:
    pay_invoice(
        invoice,
        paid_on=on,
        paid=invoice.amount,
        credits=[],
        anyway=False,
        reason="",
        person=world.people["wren"],
        today=world.today,
    )


def _credited(world: World) -> None:
    """Seal kits of which one was dry; the credit note came, its money has not; the invoice waits for it."""
    wren, today = world.people["wren"], world.today
    order = _order(world, Supplier.objects.get(name="Pellworth Hydraulics"), 25, ("seal kit 19.05 mm", 3, "12.40"))
    line = OrderLine.objects.filter(order=order).with_story().get()
    changes.record_delivery(line, on=world.day(-18), quantity=Decimal(3), person=wren, today=today)
    back = changes.send_back(
        line,
        on=world.day(-15),
        quantity=Decimal(1),
        reason="rubber is cracked",
        to_be_replaced=False,
        person=wren,
        today=today,
    )
    credit = Credit(number="CN-118", on=world.day(-6), amount=order.cost(line.price))
    record_credit(back, credit=credit, person=wren, today=today)
    _bill(world, order, dated=world.day(-24))


def _insolvent(world: World) -> None:
    """A supplier that took a deposit and went under: what it owes and will not send."""
    wren, today = world.people["wren"], world.today
    supplier = Supplier(
        name="Tarnside Gaskets", phone="+44 1632 960 171", email="office@tarnside-gaskets.example", terms="in advance"
    )
    changes.save_supplier(supplier, person=wren)
    order = _order(world, supplier, 8, ("rear main seal carrier", 2, "46.00"))
    lines = list(OrderLine.objects.filter(order=order).with_story())
    soon = world.day(12)
    changes.record_promise(
        lines=lines, given_on=world.day(-7), earliest=soon, latest=soon, words="", person=wren, today=today
    )
    changes.cancel_pieces(
        lines[0],
        on=world.day(-4),
        quantity=Decimal(1),
        reason="bought elsewhere",
        money_back=Decimal("46.00"),
        person=wren,
        today=today,
    )
    supplier.insolvent_on = world.day(-3)
    changes.save_supplier(supplier, person=wren)


def _order(world: World, supplier: Supplier, days_ago: int, part: tuple[str, int, str]) -> Order:
    text, count, price = part
    order = Order(supplier=supplier, ordered_on=world.day(-days_ago))
    line = OrderLine(text=text, quantity=Decimal(count), price=Decimal(price))
    return changes.place_order(order, lines=[line], person=world.people["wren"], today=world.today)
