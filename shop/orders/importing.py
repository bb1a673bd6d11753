"""Past orders from a table, held against the rules and what is on record, in memory; nothing here writes.

An order whose supplier and reference are on record already is left alone, so that bringing in a file twice changes
nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any

from django.conf import settings
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils.translation import gettext

from shop.base.sheets import CellError
from shop.orders import refusals, rules
from shop.orders.models import Order, Supplier
from shop.orders.models.currency import own_currency
from shop.orders.order_table import FileOrder, Import, Key
from shop.orders.part_lookup import FoundPart, find_parts
from shop.stock.models import Part

ASKED_AT_ONCE = 500


def look(found: Import, today: date) -> Import:
    """Hold a file that was read against the rules and against what is on record. Takes no lock."""
    if found.asks_day_order:
        return found
    for number, row in found.faulty_rows.items():
        wrong = refusals.wrong_day(row.get("ordered_on"), today, ahead=False)
        found.errors += [CellError(number, "ordered_on", wrong)] if wrong else []
    orders = _orders(found)
    known = suppliers_on_record()
    on_record = orders_on_record(orders, known)
    for order in orders:
        if order.key in on_record:
            found.left_alone.append(f"{order.supplier} {order.reference}")
        else:
            found.errors += [*_refused(order, today), *_refused_currency(order, known.get(order.key[0]))]
            found.orders.append(order)
    _link_parts(found, known)
    names = {order.key[0] for order in found.orders}
    found.deleted_suppliers = [one.name for small, one in known.items() if small in names and one.is_deleted]
    found.new_suppliers = list({o.key[0]: o.supplier for o in found.orders if o.key[0] not in known}.values())
    found.errors.sort(key=lambda error: error.row)
    return found


def suppliers_on_record() -> dict[str, Supplier]:
    """Return the suppliers by name in small letters: Python's, for SQLite makes small only what is ASCII.

    A deleted one counts where no other has its name: it is matched, stays deleted, and is not made anew.
    """
    every = sorted(Supplier.objects.all(), key=lambda supplier: (not supplier.is_deleted, supplier.pk))
    return {supplier.name.lower(): supplier for supplier in every}


def orders_on_record(orders: Sequence[FileOrder], suppliers: Mapping[str, Supplier]) -> set[Key]:
    """Return the keys of those orders that one of the suppliers, given by name in small letters, has on record."""
    found: set[Key] = set()
    asked = [order for order in orders if order.key[0] in suppliers]
    for at in range(0, len(asked), ASKED_AT_ONCE):
        some = asked[at : at + ASKED_AT_ONCE]
        keys = {suppliers[order.key[0]].pk: order.key[0] for order in some}
        references = {order.reference for order in some}
        named = Q(reference__in=references) | Q(small__in={reference.lower() for reference in references})
        rows = Order.objects.annotate(small=Lower("reference")).filter(named, supplier__in=keys)
        found |= {(keys[pk], reference.lower()) for pk, reference in rows.values_list("supplier", "reference")}
    return found


def _orders(found: Import) -> list[FileOrder]:
    groups: dict[Key, list[int]] = {}
    for number, row in sorted(found.rows.items(), key=lambda item: (item[1]["ordered_on"], item[0])):
        groups.setdefault((row["supplier"].lower(), row["reference"].lower()), []).append(number)
    for numbers in groups.values():
        found.errors += _other_heads(found.rows, sorted(numbers))
    return [_order({number: found.rows[number] for number in sorted(numbers)}) for numbers in groups.values()]


def _order(rows: Mapping[int, Mapping[str, Any]]) -> FileOrder:
    first = next(iter(rows.values()))
    currency = own_currency(first["currency"])
    rate = first["rate"] if currency else None
    return FileOrder(first["supplier"], first["reference"], first["ordered_on"], rows, currency, rate)


def _other_heads(rows: Mapping[int, Mapping[str, Any]], numbers: Sequence[int]) -> list[CellError]:
    """An order has one day, one currency and one rate: its first row says which."""
    first = numbers[0]
    said = rows[first]
    words = {
        "ordered_on": gettext("Row {first} places this order on {said}; an order has one day.").format(
            first=first, said=f"{said['ordered_on']:%Y-%m-%d}"
        ),
        "currency": gettext("Row {first} has this order in “{said}”; an order has one currency.").format(
            first=first, said=said["currency"]
        ),
        "rate": gettext("Row {first} gives another rate; an order has one.").format(first=first),
    }
    return [
        CellError(number, name, told)
        for number in numbers
        for name, told in words.items()
        if _compared(rows[number][name]) != _compared(said[name])
    ]


def _compared(value: Any) -> Any:
    return value.upper() if isinstance(value, str) else value


def _refused_currency(order: FileOrder, supplier: Supplier | None) -> list[CellError]:
    """Refuse a foreign currency without its rate, and none at all where the supplier is paid in a foreign one."""
    number, row = min(order.rows), order.rows[min(order.rows)]
    ours = settings.SHOP_CURRENCY
    if order.currency and not order.rate:
        return [
            CellError(
                number,
                "rate",
                gettext("Give what one {currency} was in {ours} on the day of the order.").format(
                    currency=order.currency, ours=ours
                ),
            )
        ]
    if not row["currency"] and supplier and supplier.currency:
        words = gettext("{supplier} is paid in {currency}: give the currency and its rate, or {ours}.").format(
            supplier=supplier, currency=supplier.currency, ours=ours
        )
        return [CellError(number, "currency", words)]
    return []


def _link_parts(found: Import, known: Mapping[str, Supplier]) -> None:
    """Let each row's part_number mean a part: ours, its supplier's own, the maker's. Told where it is none."""
    by_supplier: dict[str, list[FileOrder]] = {}
    for order in found.orders:
        by_supplier.setdefault(order.key[0], []).append(order)
    linked = {}
    for small, orders in by_supplier.items():
        numbers = {row["part_number"] for order in orders for row in order.rows.values()}
        parts = find_parts(numbers, known[small].pk if small in known else None)
        for order in orders:
            linked[order.key] = _parts_of(order, parts, found)
    found.orders = [replace(order, parts=linked[order.key]) for order in found.orders]


def _parts_of(order: FileOrder, parts: Mapping[str, FoundPart], found: Import) -> dict[int, Part]:
    linked = {}
    for number, row in order.rows.items():
        meant = parts.get(row["part_number"].lower())
        if meant and meant.part:
            linked[number] = meant.part
        elif meant:
            typed = meant.error.replace(f"“{row['part_number'].lower()}”", f"“{row['part_number']}”")
            found.errors.append(CellError(number, "part_number", typed))
    return linked


def _refused(order: FileOrder, today: date) -> list[CellError]:
    if wrong := refusals.refuse_order(ordered_on=order.ordered_on, today=today):
        return [CellError(min(order.rows), name, words) for name, words in wrong.items()]
    return [error for number, row in order.rows.items() for error in _refused_line(number, row, today)]


def _refused_line(number: int, row: Mapping[str, Any], today: date) -> list[CellError]:
    line = rules.LineFacts(row["part"], row["ordered_on"], row["quantity"])
    errors = []
    for column, promise in promises_of(row, today):
        wrong = refusals.refuse_promise(
            line,
            given_on=promise.given_on,
            earliest=promise.earliest,
            latest=promise.latest,
            words=promise.words,
            today=today,
        )
        errors += [CellError(number, column, words) for words in dict.fromkeys(wrong.values())]
    if row["delivered_on"]:
        kind = rules.LineEventKind.DELIVERED
        wrong = refusals.refuse_event(line, kind, on=row["delivered_on"], quantity=row["quantity"], today=today)
        errors += [CellError(number, "delivered_on", words) for words in wrong.values()]
    return errors


def promises_of(row: Mapping[str, Any], today: date) -> list[tuple[str, rules.PromiseFacts]]:
    """Return what a row says was promised, each with its column. The file does not say when a later one was given."""
    made = []
    for column in ("first_promised", "last_promised"):
        day = row[column]
        if day and (column == "first_promised" or day != row["first_promised"]):
            said = row["ordered_on"] if column == "first_promised" else min(row["first_promised"] or day, day, today)
            made.append((column, rules.PromiseFacts(said, day, day, gettext("from the file"))))
    return made
