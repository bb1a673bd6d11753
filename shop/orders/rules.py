"""When an ordered line is expected, what of it is still to come, and how late it is.

Pure rules; today is an argument.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum

from django.utils.translation import gettext_noop

SILENT_TOO_LONG = 14
"""Days without a word after which a line that never got a date counts as late (common practice, no source)."""


CONFIRMED_WITHIN = 3
"""Days after which an order without any date is asked about (common practice, no source)."""


@dataclass(frozen=True)
class PromiseFacts:
    """What a supplier said on a day: one day, a range of days, or no date at all.

    One day has `earliest == latest`; a range has both; no date has neither.
    """

    given_on: date
    earliest: date | None = None
    latest: date | None = None
    words: str = ""

    @property
    def gives_a_date(self) -> bool:
        return self.latest is not None

    @property
    def is_range(self) -> bool:
        return self.earliest != self.latest


class LineEventKind(StrEnum):
    """What can happen to the pieces of a line. A piece sent back either comes again or is paid back."""

    DELIVERED = gettext_noop("delivered")
    RETURNED_FOR_REPLACEMENT = gettext_noop("returned for replacement")
    RETURNED_FOR_MONEY = gettext_noop("returned for money")
    CANCELLED = gettext_noop("cancelled")


@dataclass(frozen=True)
class EventFacts:
    """So many pieces delivered, returned or cancelled on a day."""

    kind: LineEventKind
    on: date
    quantity: Decimal


@dataclass(frozen=True)
class LineFacts:
    """One ordered line with all that was promised and all that happened to it, each in the order recorded."""

    what: str
    ordered_on: date
    quantity: Decimal
    promises: tuple[PromiseFacts, ...] = ()
    events: tuple[EventFacts, ...] = ()
    last_heard: date | None = None
    supplier_insolvent_on: date | None = None


def in_order_given(promises: Iterable[PromiseFacts]) -> list[PromiseFacts]:
    """Return promises by the day they were given; two of one day stay as they were recorded."""
    return sorted(promises, key=lambda promise: promise.given_on)


def current_promise(promises: Iterable[PromiseFacts]) -> PromiseFacts | None:
    """Return the latest promise that gives a date. A later “no date” does not unsay it; it stays what was promised."""
    dated = [promise for promise in in_order_given(promises) if promise.gives_a_date]
    return dated[-1] if dated else None


def first_promise(promises: Iterable[PromiseFacts]) -> PromiseFacts | None:
    """Return the first promise that gave a date, which all slip is counted from."""
    return next((promise for promise in in_order_given(promises) if promise.gives_a_date), None)


def expected_on(promises: Iterable[PromiseFacts]) -> date | None:
    """Return the day by which the line should be here: the last day of the latest dated promise, or None."""
    promise = current_promise(promises)
    return promise.latest if promise else None


def slip_days(promises: Sequence[PromiseFacts]) -> int | None:
    """Return the days between the first date promised and the one promised now; None when no date was given."""
    first, current = first_promise(promises), current_promise(promises)
    if not first or not current or not first.latest or not current.latest:
        return None
    return (current.latest - first.latest).days


def pieces(events: Iterable[EventFacts], *kinds: LineEventKind) -> Decimal:
    """Return how many pieces had any of `kinds`."""
    return sum((event.quantity for event in events if event.kind in kinds), Decimal(0))


def to_come(line: LineFacts) -> Decimal:
    """Return the pieces still to come: ordered − delivered + sent back for replacement − cancelled, never below 0."""
    gone = pieces(line.events, LineEventKind.DELIVERED, LineEventKind.CANCELLED)
    again = pieces(line.events, LineEventKind.RETURNED_FOR_REPLACEMENT)
    return max(Decimal(0), line.quantity - gone + again)


def here(line: LineFacts) -> Decimal:
    """Return the usable pieces in the shop: delivered less those sent back."""
    back = pieces(line.events, LineEventKind.RETURNED_FOR_REPLACEMENT, LineEventKind.RETURNED_FOR_MONEY)
    return pieces(line.events, LineEventKind.DELIVERED) - back


def arrived_on(line: LineFacts) -> date | None:
    """Return the day on which the last piece came, or None while pieces are to come or nothing came at all."""
    days = [event.on for event in line.events if event.kind is LineEventKind.DELIVERED]
    return max(days) if days and not to_come(line) else None


def is_overdue(line: LineFacts, today: date) -> bool:
    """Say whether pieces are still to come past the day expected, or without any date after a long silence.

    On the day itself nothing is late.
    """
    return days_overdue(line, today) > 0 or is_silent(line, today) or is_lost(line)


def is_lost(line: LineFacts) -> bool:
    """Say whether pieces are to come from an insolvent supplier: whatever was promised, they are not expected."""
    return bool(line.supplier_insolvent_on and to_come(line))


def counted_on(line: LineFacts) -> Decimal:
    """Return the pieces still to come on which a job may count: none from an insolvent supplier."""
    return Decimal(0) if is_lost(line) else to_come(line)


def is_silent(line: LineFacts, today: date) -> bool:
    """Say whether pieces are to come for which no date was ever given, and nothing was said for too long."""
    undated = expected_on(line.promises) is None
    return undated and bool(to_come(line)) and silent_days(line, today) > SILENT_TOO_LONG


def days_overdue(line: LineFacts, today: date) -> int:
    """Return the days by which today is past the latest promise; 0 when all came or no date was given."""
    expected = expected_on(line.promises)
    if expected is None or not to_come(line):
        return 0
    return max(0, (today - expected).days)


def days_behind_first_promise(line: LineFacts, today: date) -> int | None:
    """Return the days from the first date promised to the day of arrival, or to today while pieces are to come.

    Negative while the first promise lies ahead or when it came early; None when no date was ever given.
    """
    first = first_promise(line.promises)
    if first is None or first.latest is None:
        return None
    return ((arrived_on(line) or today) - first.latest).days


def silent_days(line: LineFacts, today: date) -> int:
    """Return the days since the supplier last said anything: a promise, an answer to a chase, or else the order."""
    words = [promise.given_on for promise in line.promises]
    heard = [line.last_heard] if line.last_heard else []
    return max(0, (today - max([line.ordered_on, *words, *heard])).days)
