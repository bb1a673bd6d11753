"""A line as a page shows it: its state in words, its promises and all that happened to it in order of days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext, ngettext

from shop.base.rows import MARKS
from shop.orders import rules
from shop.orders.models import Cancellation, Delivery, OrderLine, Promise, Return
from shop.orders.text import (
    count,
    day,
    line_state_without_name,
    ordinal,
    promise_words,
)


@dataclass(frozen=True)
class ShownPromise:
    """One promise, its number among the standing ones (0: deleted) and its words."""

    promise: Promise
    number: int
    words: str


@dataclass(frozen=True)
class ShownLine:
    """One line with everything said and done about it."""

    line: OrderLine
    state: str
    left: str
    overdue: bool
    aside: str
    promises: tuple[ShownPromise, ...]
    events: tuple[Delivery | Return | Cancellation, ...]
    can_come: bool
    can_go_back: bool
    here: str = ""
    late: int = 0
    promised: str = ""
    nth: str = ""

    @property
    def mark(self) -> str:
        """The line's mark, one of `shop.base.rows.MARKS`."""
        return "late" if self.overdue else "waiting" if self.can_come else "done"

    @property
    def mark_words(self) -> str:
        """The mark for those who do not see it."""
        return MARKS[self.mark]


def show_line(line: OrderLine, today: date) -> ShownLine:
    """Return what a page says of a line that came `with_story`."""
    rule = line.as_rule()
    events: list[Delivery | Return | Cancellation] = [
        *line.deliveries.all(),
        *line.returns.all(),
        *line.cancellations.all(),
    ]
    return ShownLine(
        line=line,
        state=line_state_without_name(rule, today),
        left=count(rules.to_come(rule)),
        overdue=rules.is_overdue(rule, today),
        aside="; ".join(words for words in (_slip(rule), _silence(rule, today)) if words),
        promises=tuple(_promises(line, today)),
        events=tuple(sorted(events, key=lambda event: (event.on, event.recorded_at))),
        can_come=rules.to_come(rule) > 0,
        can_go_back=rules.here(rule) > 0,
        here=count(rules.here(rule)),
        late=rules.days_overdue(rule, today),
        promised=_promised(rule, today),
        nth=_nth(sum(promise.gives_a_date for promise in rule.promises)),
    )


def _promised(line: rules.LineFacts, today: date) -> str:
    if rules.is_lost(line):
        return gettext("not expected")
    expected = rules.expected_on(line.promises)
    return day(expected, today) if expected else gettext("no date")


def _nth(dates: int) -> str:
    return gettext("{ordinal} date").format(ordinal=ordinal(dates)) if dates > 1 else ""


def _slip(line: rules.LineFacts) -> str:
    days = rules.slip_days(line.promises)
    if not days:
        return ""
    late, early = (
        ngettext("{number} day after the first promise", "{number} days after the first promise", abs(days)),
        ngettext("{number} day before the first promise", "{number} days before the first promise", abs(days)),
    )
    return (late if days > 0 else early).format(number=abs(days))


def _silence(line: rules.LineFacts, today: date) -> str:
    """How long nothing was heard of a line that is awaited; one without any date says so in its state."""
    silent = rules.silent_days(line, today)
    awaited = rules.to_come(line) and rules.expected_on(line.promises)
    said = ngettext("silent for {number} day", "silent for {number} days", silent).format(number=silent)
    return said if awaited and silent else ""


def _promises(line: OrderLine, today: date) -> list[ShownPromise]:
    shown, number = [], 0
    for promise in line.promises.all():
        number += promise.counts
        shown.append(ShownPromise(promise, number * promise.counts, promise_words(promise.as_rule(), today)))
    return shown


def last_word(line: OrderLine, today: date) -> tuple[date, str] | None:
    """Return the last thing the supplier said about a line that came `with_facts`, and when; None: nothing."""
    said = [
        (
            promise.given_on,
            promise.words
            or gettext("promised {promise_words}").format(promise_words=promise_words(promise.as_rule(), today)),
        )
        for promise in line.promises.all()
        if promise.counts
    ]
    chases = [chase for chase in line.order.chases.all() if chase.counts]
    said += [(chase.answered_on, chase.answer) for chase in chases if chase.answered_on]
    return max(said, key=lambda pair: pair[0]) if said else None
