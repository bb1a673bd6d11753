"""What has to be ordered: what steps need over all jobs and nobody has, and what is short on the shelf."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import F, Max, OuterRef, QuerySet, Subquery, Sum

from shop.jobs.models import PartNeed
from shop.orders import rules
from shop.orders.models import OrderLine
from shop.orders.part_lookup import parts_of_needs
from shop.stock.models import Part
from shop.stock.queries import reserved_for, taken_for
from shop.stock.rules import to_buy

_NOTHING = Decimal(0)


@dataclass(frozen=True)
class MissingPart:
    """A needed part: how many pieces are neither here, nor reserved on the shelf, nor on order.

    `last` is the line on which it was bought last; `part` the one that the need asks for, where it is on record.
    """

    need: PartNeed
    missing: Decimal
    last: OrderLine | None
    part: Part | None = None

    @property
    def name(self) -> str:
        return str(self.part or self.need.component or self.need.text)

    @property
    def to_buy(self) -> Decimal:
        """How many to order, in whole packs."""
        return to_buy(self.missing, self.part.pack) if self.part else self.missing

    @property
    def on_shelf(self) -> Decimal:
        """How many of what is missing lie on the shelf and are free: to be reserved rather than ordered."""
        return min(self.missing, max(self.part.free, _NOTHING)) if self.part else _NOTHING


@dataclass(frozen=True)
class ShortPart:
    """A part of which less is free on the shelf, or on order for it, than its minimum."""

    part: Part
    awaited: Decimal
    last: OrderLine | None

    @property
    def to_buy(self) -> Decimal:
        """How many to order, in whole packs; none where it is not short."""
        return to_buy(self.part.minimum - self.part.free - self.awaited, self.part.pack)


def open_needs() -> QuerySet[PartNeed]:
    """Return the needs a line can be bought for: of steps not finished nor deleted, not marked as here."""
    return PartNeed.objects.active().filter(step__finished_at=None, step__deleted_at=None, here_on=None)


def missing_parts() -> list[MissingPart]:
    """Return what has to be ordered, what is wanted first at the head, in a constant number of queries."""
    bought = OrderLine.objects.active().filter(component=OuterRef("component")).order_by("-order__ordered_on", "-pk")
    needs = list(
        open_needs()
        .annotate(last_line=Subquery(bought.values("pk")[:1]))
        .select_related("step__job__vehicle__customer", "component")
    )
    ordered, kept = covered(needs), reserved_for(needs)
    short = {need.pk: need.quantity - ordered.get(need.pk, _NOTHING) - kept.get(need.pk, _NOTHING) for need in needs}
    wanted = [need for need in needs if short[need.pk] > 0]
    parts = parts_of_needs(wanted)
    by_part = last_lines(part.pk for part in parts.values())
    by_component = _lines(need.last_line for need in wanted if need.last_line)
    found = []
    for need in wanted:
        part = parts.get(need.pk)
        last = by_part.get(part.pk) if part else None
        found.append(MissingPart(need, short[need.pk], last or by_component.get(need.last_line), part))
    return sorted(found, key=_when_wanted)


def short_parts() -> list[ShortPart]:
    """Return the parts below their minimum on the shelf, less what is on order for it, by number."""
    short = Part.objects.active().with_stock().filter(minimum__gt=0, free__lt=F("minimum"))
    return [part for part in _on_shelf(short.order_by("number")) if part.to_buy > 0]


def shelf_parts(keys: Iterable[int]) -> list[ShortPart]:
    """Return parts to be ordered for the shelf, by number, short or not."""
    return _on_shelf(Part.objects.active().with_stock().filter(pk__in=list(keys)).order_by("number"))


def _on_shelf(rows: QuerySet[Part]) -> list[ShortPart]:
    parts = list(rows)
    keys = [part.pk for part in parts]
    coming = OrderLine.objects.to_come().filter(part__in=keys, part_need=None).order_by().values("part")
    awaited = {row["part"]: row["total"] for row in coming.annotate(total=Sum("left"))}
    last = last_lines(keys)
    return [ShortPart(part, awaited.get(part.pk, _NOTHING), last.get(part.pk)) for part in parts]


def last_lines(parts: Iterable[int]) -> dict[int, OrderLine]:
    """Return the line on which each part was bought last, by the part's key."""
    bought = OrderLine.objects.active().filter(part__in=list(parts)).order_by().values("part")
    keys = {row["part"]: row["last"] for row in bought.annotate(last=Max("pk"))}
    lines = _lines(keys.values())
    return {part: lines[key] for part, key in keys.items()}


def _lines(keys: Iterable[int]) -> dict[int, OrderLine]:
    return OrderLine.objects.select_related("order__supplier").in_bulk(list(keys))


def covered(needs: Iterable[Any]) -> dict[int, Decimal]:
    """Return how many pieces of each need are here, from an order or the shelf, or still to come, by the need's key.

    Another component that came in its place is not here until somebody takes it.
    """
    needs = list(needs)
    asked = {need.pk: need.component_id for need in needs}
    found = taken_for(needs)
    for line in OrderLine.objects.active().filter(part_need__in=asked).with_story():
        facts, key = line.as_rule(), line.part_need_id
        here = _NOTHING if line.stands_in_for(asked[key]) else max(rules.here(facts), _NOTHING)
        found[key] = found.get(key, _NOTHING) + rules.counted_on(facts) + here
    return found


def _when_wanted(part: MissingPart) -> tuple[Any, ...]:
    step = part.need.step
    return (step.job.wanted_by or date.max, step.job_id, step.position, part.need.pk)
