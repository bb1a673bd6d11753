"""What is needed and neither here nor on order, over all jobs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.db.models import OuterRef, QuerySet, Subquery

from shop.jobs.models import PartNeed
from shop.orders import rules
from shop.orders.models import OrderLine

_NOTHING = Decimal(0)


@dataclass(frozen=True)
class MissingPart:
    """A needed part: how many pieces are neither here nor on order, and the line on which it was bought last."""

    need: PartNeed
    missing: Decimal
    last: OrderLine | None


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
    ordered = covered(needs)
    lines = OrderLine.objects.select_related("order__supplier").in_bulk(
        [need.last_line for need in needs if need.last_line]
    )
    found = (
        MissingPart(need, need.quantity - ordered.get(need.pk, _NOTHING), lines.get(need.last_line)) for need in needs
    )
    return sorted((part for part in found if part.missing > 0), key=_when_wanted)


def covered(needs: Iterable[Any]) -> dict[int, Decimal]:
    """Return how many pieces of each need are here from an order or still to come, by the need's key.

    Another component that came in its place is not here until somebody takes it.
    """
    asked = {need.pk: need.component_id for need in needs}
    found: dict[int, Decimal] = {}
    for line in OrderLine.objects.active().filter(part_need__in=asked).with_story():
        facts, key = line.as_rule(), line.part_need_id
        here = _NOTHING if line.stands_in_for(asked[key]) else max(rules.here(facts), _NOTHING)
        found[key] = found.get(key, _NOTHING) + rules.to_come(facts) + here
    return found


def _when_wanted(part: MissingPart) -> tuple[Any, ...]:
    step = part.need.step
    return (step.job.wanted_by or date.max, step.job_id, step.position, part.need.pk)
