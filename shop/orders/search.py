from collections.abc import Iterable
from typing import Any

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.search import Searched
from shop.orders.models import Document, Order, OrderLine, Supplier, SupplierNumber
from shop.stock.models import Movement, Part
from shop.stock.rules import of_unit
from specs.models import Component


def _order_words(order: Order) -> tuple[str, ...]:
    lines = (line.text or str(line.component) for line in order.lines.all())
    return (order.supplier.name, *lines, order.notes)


def _order_state(order: Any) -> tuple[str, str]:
    if not order.open_count:
        return "done", gettext("all here")
    words = gettext("{open_count} of {line_count} to come")
    return "waiting", words.format(open_count=order.open_count, line_count=order.line_count)


def _orders_of(supplier: Supplier) -> Iterable[int]:
    return supplier.orders.values_list("pk", flat=True)


def _orders_with(component: Component) -> Iterable[int]:
    return OrderLine.objects.filter(component=component).values_list("order", flat=True)


def _parts_of(component: Component) -> Iterable[int]:
    return component.parts.values_list("pk", flat=True)


def _part_numbers(part: Part) -> tuple[str, ...]:
    theirs = (number.number for number in part.supplier_numbers.all() if not number.is_deleted)
    return (part.number, part.maker_number, *theirs)


def _part_note(part: Any) -> str:
    return gettext("{of_unit} on the shelf").format(of_unit=of_unit(part.on_shelf, part.unit)) + (
        f", {part.place}" if part.place else ""
    )


def _part_at(movement: Movement) -> Iterable[int]:
    return [movement.part_id] if movement.place else []


def _part_words(part: Part) -> tuple[str, ...]:
    places = {moved.place for moved in part.placed}
    return (part.maker, part.place, *sorted(places), str(part.component or ""), part.notes)


SEARCHED = [
    Searched(
        gettext_lazy("Order"),
        40,
        Order,
        words=_order_words,
        numbers=lambda order: (order.number, order.reference),
        note=lambda order: str(order.supplier),
        state=_order_state,
        read=lambda rows: rows.select_related("supplier").prefetch_related("lines__component"),
        show=lambda rows: rows.for_list(),
        told_by=((OrderLine, lambda line: [line.order_id]), (Supplier, _orders_of), (Component, _orders_with)),
    ),
    Searched(
        "Part",
        42,
        Part,
        words=_part_words,
        numbers=_part_numbers,
        note=_part_note,
        read=lambda rows: rows.with_places().select_related("component").prefetch_related("supplier_numbers"),
        show=lambda rows: rows.with_stock(),
        told_by=((SupplierNumber, lambda number: [number.part_id]), (Component, _parts_of), (Movement, _part_at)),
    ),
    Searched(
        gettext_lazy("Supplier"),
        45,
        Supplier,
        words=lambda supplier: (supplier.contact, supplier.email, supplier.address, supplier.notes),
        numbers=lambda supplier: (supplier.phone, supplier.account),
        note=lambda supplier: " · ".join(filter(None, [supplier.contact, supplier.phone])),
    ),
    Searched(
        "Document",
        65,
        Document,
        name=lambda document: document.name,
        words=lambda document: (document.note, document.paper_words),
        note=lambda document: document.paper_words,
    ),
]
