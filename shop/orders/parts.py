"""What the orders know of the parts that steps need. Handed to the jobs at start (`apps.py`)."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from shop.jobs.models import PartNeed
from shop.jobs.parts import PartFact
from shop.jobs.rules import NeedState
from shop.orders import rules
from shop.orders.models import OrderLine
from shop.orders.wording import awaited_words, day


def part_facts(needs: Iterable[PartNeed], today: date) -> dict[int, PartFact]:
    """Return a fact for every need that some standing order has a line for, in a constant number of queries."""
    wanted = {need.pk: need for need in needs}
    stories: dict[int, list[rules.Line]] = {}
    for line in OrderLine.objects.standing().filter(part_need__in=wanted).with_story():
        stories.setdefault(line.part_need_id, []).append(line.as_rule())
    return {key: _fact(wanted[key], lines, today) for key, lines in stories.items()}


def _fact(need: PartNeed, lines: list[rules.Line], today: date) -> PartFact:
    if sum((rules.here(line) for line in lines), Decimal(0)) >= need.quantity:
        came = [event.on for line in lines for event in line.events if event.happening is rules.Happening.DELIVERED]
        return PartFact(NeedState.MET, f"{need}, here since {day(max(came), today)}")
    awaited = [line for line in lines if rules.to_come(line)]
    if not awaited:
        return PartFact(NeedState.OPEN, f"{need}, not on order any more")
    # Several lines for one need: the part is here when the last of them is.
    last = max(awaited, key=lambda line: rules.expected_on(line.promises) or date.max)
    return PartFact(
        NeedState.OPEN, awaited_words(last, today), rules.expected_on(last.promises), rules.is_overdue(last, today)
    )
