"""Tables that are brought in while their sender does something else: checked again, written batch by batch."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.long_work import LongKind, WorkProgress
from shop.base.sheets import CellError
from shop.orders.import_batches import write_orders
from shop.orders.importing import look
from shop.orders.models import Supplier
from shop.orders.order_table import PAST_ORDERS, read
from shop.orders.part_import import OPENING_STOCK, PRICE_COLUMNS, PRICE_LIST, STOCK_COLUMNS, read_parts, stock_on_record
from shop.orders.part_import_changes import PartProgress, write_prices, write_stock

MOST_NAMED = 5


def import_orders(given: dict[str, Any], person: User) -> Iterator[WorkProgress]:
    """Import past orders; `given` holds the rows as `text` and the order of days in `day_order`."""
    today = timezone.localdate()
    found = look(read(given["text"], given["day_order"]), today)
    _refuse(found.errors)
    before = len(found.left_alone)
    yield WorkProgress(
        0, len(found.orders), gettext("0 orders were brought in, {before} left alone.").format(before=before)
    )
    for one in write_orders(orders=found.orders, person=person, today=today):
        words = gettext("{written} orders were brought in, {before} left alone.").format(
            written=one.written, before=before
        )
        if one.left_alone:
            words += gettext(" {left_alone} more were left alone: somebody else wrote them at the same time.").format(
                left_alone=one.left_alone
            )
        yield WorkProgress(one.done, one.total, words)


def import_prices(given: dict[str, Any], person: User) -> Iterator[WorkProgress]:
    """Bring in a price list; `given` holds the rows as `text`, whose list it is, of which day and currency."""
    found, supplier = read_parts(given["text"], PRICE_COLUMNS), Supplier.objects.get(pk=given["supplier"])
    if supplier.is_deleted:
        raise ValidationError(gettext("{supplier} was deleted meanwhile. Undo that first.").format(supplier=supplier))
    _refuse(found.errors)
    head = {"supplier": supplier, "currency": given["currency"], "note": given["note"]}
    on, today = date.fromisoformat(given["on"]), timezone.localdate()
    yield from map(_told, write_prices(found, **head, on=on, person=person, today=today))


def import_stock(given: dict[str, Any], person: User) -> Iterator[WorkProgress]:
    """Bring in the opening stock; `given` holds the rows as `text` and the day of the count in `on`."""
    found = read_parts(given["text"], STOCK_COLUMNS)
    stock_on_record(found)
    _refuse(found.errors)
    on, today = date.fromisoformat(given["on"]), timezone.localdate()
    yield from map(_told, write_stock(found, on=on, person=person, today=today))


def _told(progress: PartProgress) -> WorkProgress:
    words = gettext(
        "{written} rows were brought in, {left_alone} left alone, being on record already; {added} parts were added."
    ).format(written=progress.written, left_alone=progress.left_alone, added=progress.added)
    return WorkProgress(progress.done, progress.total, words)


def _refuse(errors: list[CellError]) -> None:
    """What was right when it was checked may not be any more. Raises ValidationError that names the first faults."""
    if errors:
        more = (
            gettext(" And {errors} more.").format(errors=len(errors) - MOST_NAMED) if len(errors) > MOST_NAMED else ""
        )
        named = " ".join(map(str, errors[:MOST_NAMED]))
        raise ValidationError(
            gettext("What is on record changed meanwhile: check the table again. {named}{more}").format(
                named=named, more=more
            )
        )


NOTE = gettext_lazy("Others can work meanwhile; what is on record already is left alone.")

LONG_WORK = [
    LongKind(PAST_ORDERS, import_orders, "orders.order", leads_to="orders:orders", note=NOTE),
    LongKind(PRICE_LIST, import_prices, "orders.order", leads_to="orders:parts", note=NOTE),
    LongKind(OPENING_STOCK, import_stock, "stock.parts", leads_to="orders:parts", note=NOTE),
]
