"""What the order lines of a needed part say of it: pure over plain lines; today is an argument."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django.utils.translation import gettext

from shop.jobs.rules import NeedState, PartFact
from shop.orders import rules
from shop.orders.text import awaited_words, day


def _last_day(line: rules.LineFacts) -> date:
    return date.max if rules.is_lost(line) else rules.expected_on(line.promises) or date.max


def part_fact(
    need: Any, lines: Sequence[rules.LineFacts], today: date, others: Sequence[rules.LineFacts] = ()
) -> PartFact:
    """Return where a needed part is: here, awaited with the day expected, or not on order any more.

    `others` are lines of another component than is needed: what came of them is not here until somebody takes it.
    """
    if sum((rules.here(line) for line in lines), Decimal(0)) >= need.quantity:
        came = [event.on for line in lines for event in line.events if event.kind is rules.LineEventKind.DELIVERED]
        return PartFact(NeedState.MET, gettext("{need}, here since {day}").format(need=need, day=day(max(came), today)))
    awaited = [line for line in lines if rules.to_come(line)]
    instead = [line.what for line in others if rules.here(line)]
    if instead and not awaited:
        words = gettext(
            "{need}: another part came, {instead} (mark it as received in its place, or send it back)"
        ).format(need=need, instead=", ".join(instead))
        return PartFact(NeedState.OPEN, words)
    awaited = awaited or [line for line in others if rules.to_come(line)]
    if not awaited:
        return PartFact(NeedState.OPEN, gettext("{need}, not on order any more").format(need=need))
    # Several lines for one need: the part is here when the last of them is.
    last = max(awaited, key=_last_day)
    expected = None if rules.is_lost(last) else rules.expected_on(last.promises)
    return PartFact(NeedState.OPEN, awaited_words(last, today), expected, rules.is_overdue(last, today))
