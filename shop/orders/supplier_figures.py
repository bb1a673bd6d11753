"""What a supplier's orders say beside lateness: how much came whole, how much was faulty, where its prices go."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from statistics import median

from django.utils.translation import gettext, ngettext

from shop.base.written import num
from shop.orders import rules
from shop.orders.models import OrderLine, Supplier
from shop.orders.text import count

LATEST = 200
"""So many lines, the newest, make the figures: how the supplier delivers now, not years ago."""
FEW = 5
"""With fewer lines a share says nothing, and is told as a count (common practice, no source)."""


@dataclass(frozen=True)
class SupplierFigures:
    """Of the newest lines: delivered at all, whole in the first parcel, pieces that came and that were sent back.

    `moves` are the last change of price of each part bought at least twice, as a share of the price before.
    """

    delivered: int = 0
    whole: int = 0
    came: Decimal = Decimal(0)
    back: Decimal = Decimal(0)
    moves: tuple[float, ...] = ()

    @property
    def completeness(self) -> str:
        if not self.delivered:
            return gettext("nothing came yet")
        return gettext("{share} whole in the first parcel").format(share=_share(self.whole, self.delivered))

    @property
    def faults(self) -> str:
        if not self.came:
            return gettext("nothing came yet")
        if not self.back:
            return gettext("none of {count} pieces sent back").format(count=count(self.came))
        return gettext("{count} of {count_2} pieces sent back ({num} %)").format(
            count=count(self.back), count_2=count(self.came), num=num(100 * self.back / self.came, ".1f")
        )

    @property
    def price_movement(self) -> str:
        if not self.moves:
            return gettext("not known: no part was bought twice")
        middle, dearer = 100 * median(self.moves), sum(move > 0 for move in self.moves)
        sign = "+" if middle > 0 else "−" if middle < 0 else ""
        if not any(self.moves):
            same = ngettext(
                "unchanged from one order to the next, over {parts} part",
                "unchanged from one order to the next, over {parts} parts",
                len(self.moves),
            )
            return same.format(parts=len(self.moves))
        said = ngettext(
            "median {sign}{num} % from one order to the next, over {parts} part; {dearer} dearer",
            "median {sign}{num} % from one order to the next, over {parts} parts; {dearer} dearer",
            len(self.moves),
        )
        return said.format(sign=sign, num=num(abs(middle), ".1f"), parts=len(self.moves), dearer=dearer)


def _share(part: int, of: int) -> str:
    said = ngettext("{part} of {lines} line", "{part} of {lines} lines", of).format(part=part, lines=of)
    return said + (f" ({round(100 * part / of)} %)" if of >= FEW else "")


def supplier_figures(supplier: Supplier) -> SupplierFigures:
    """Return the figures of one supplier; read again when anything about its orders changed."""
    return _figures(supplier.pk, supplier.record_mark)


# The mark says all that it depends on (`delivery_history`).
@lru_cache(maxsize=256)
def _figures(supplier: int, mark: int) -> SupplierFigures:
    rows = OrderLine.objects.active().filter(order__supplier=supplier).order_by("-order__ordered_on", "-pk")
    lines = list(rows.select_related("order").prefetch_related("deliveries", "returns")[:LATEST])
    delivered, whole, came, back = 0, 0, Decimal(0), Decimal(0)
    for line in lines:
        parcels = sorted((one for one in line.deliveries.all() if not one.is_deleted), key=lambda one: (one.on, one.pk))
        if parcels:
            delivered += 1
            whole += sum((one.quantity for one in parcels if one.on == parcels[0].on), Decimal(0)) >= line.quantity
            came += rules.pieces((one.as_rule() for one in parcels), rules.LineEventKind.DELIVERED)
        back += sum((one.quantity for one in line.returns.all() if not one.is_deleted), Decimal(0))
    return SupplierFigures(delivered, whole, came, back, _moves(lines))


def _moves(lines: list[OrderLine]) -> tuple[float, ...]:
    """The last change of price of each part or component, from the order before; the newest lines come first."""
    prices: dict[object, list[Decimal]] = defaultdict(list)
    for line in lines:
        key = (line.part_id and ("part", line.part_id)) or (line.component_id and ("component", line.component_id))
        if key and line.price:
            prices[key, line.order.currency].append(line.price * (100 - line.order.discount_percent))
    return tuple(float(now / before) - 1 for now, before, *_ in (found for found in prices.values() if len(found) > 1))
