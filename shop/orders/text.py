"""A line's state in the words a person would use: "waits for the clutch, promised 14 May, third date"."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext, gettext_noop, ngettext

from shop.base.written import count as count
from shop.base.written import day_near as day
from shop.orders.rules import (
    LineFacts,
    PromiseFacts,
    arrived_on,
    current_promise,
    days_overdue,
    here,
    in_order_given,
    is_lost,
    is_silent,
    silent_days,
    to_come,
)

ORDINALS = (
    gettext_noop("first"),
    gettext_noop("second"),
    gettext_noop("third"),
    gettext_noop("fourth"),
    gettext_noop("fifth"),
    gettext_noop("sixth"),
    gettext_noop("seventh"),
    gettext_noop("eighth"),
    gettext_noop("ninth"),
    gettext_noop("tenth"),
)


def ordinal(number: int) -> str:
    """Return "first" to "tenth", then "11th", "12th", "21st"."""
    if number <= len(ORDINALS):
        return gettext(ORDINALS[number - 1])
    ending = 4 if number % 100 in (11, 12, 13) else number % 10
    said = {1: gettext("{number}st"), 2: gettext("{number}nd"), 3: gettext("{number}rd")}
    return said.get(ending, gettext("{number}th")).format(number=number)


def overdue(days: int) -> str:
    """Return "1 day overdue", "3 days overdue"."""
    return _overdue(days).format(number=days)


def _overdue(days: int) -> str:
    return ngettext("{number} day overdue", "{number} days overdue", days)


# One of each plural that any language has (Unicode plural rules).
_COUNTS = (0, 1, 2, 3, 5, 11, 21, 100)


def growing_words() -> list[str]:
    """Return what is said of an awaited line and grows by itself day by day, "#" where its number stands."""
    silent = [
        ngettext("no date given, silent for {number} day", "no date given, silent for {number} days", days)
        for days in _COUNTS
    ]
    late = [_overdue(days) for days in _COUNTS]
    ends = (gettext(": late"), "")
    said = (*(f"{words}{end}" for words in silent for end in ends), *late)
    return [words.format(number="#") for words in dict.fromkeys(said)]


def promise_words(promise: PromiseFacts, today: date) -> str:
    """Return "14 May", "between 14 May and 28 May", or "no date"."""
    if promise.earliest is None or promise.latest is None:
        return gettext("no date")
    if promise.is_range:
        return gettext("between {day} and {day_2}").format(
            day=day(promise.earliest, today), day_2=day(promise.latest, today)
        )
    return day(promise.latest, today)


def line_state(line: LineFacts, today: date) -> str:
    """Say in one phrase where a line stands today."""
    if to_come(line):
        return gettext("waits for {awaited_words}").format(awaited_words=awaited_words(line, today))
    return _ended(line, today)


def line_state_without_name(line: LineFacts, today: date) -> str:
    """The same where the part's name stands beside it: "3 of 8 to come, promised 14 May, third date"."""
    left = to_come(line)
    if not left:
        return _ended(line, today)
    part = (
        ""
        if left == line.quantity
        else gettext("{count} of {count_2} to come, ").format(count=count(left), count_2=count(line.quantity))
    )
    return f"{part}{status_words(line, today)}"


def _ended(line: LineFacts, today: date) -> str:
    arrived = arrived_on(line)
    if arrived and here(line):
        return gettext("here since {day}").format(day=day(arrived, today))
    return gettext("sent back") if arrived else gettext("cancelled")


def awaited_words(line: LineFacts, today: date) -> str:
    """Say what a step waits for: "the clutch, promised 14 May, third date"."""
    return f"{_awaited(line)}, {status_words(line, today)}"


def status_words(line: LineFacts, today: date) -> str:
    """Say how an awaited line stands: "promised 14 May, third date, 12 days overdue"."""
    if is_lost(line) and line.supplier_insolvent_on:
        return gettext("not expected: supplier insolvent since {day}").format(
            day=day(line.supplier_insolvent_on, today)
        )
    return f"{_promised(line, today)}{_late(line, today)}"


def _awaited(line: LineFacts) -> str:
    left = to_come(line)
    if left == line.quantity:
        return line.what
    return gettext("{left} of {all} {what}").format(left=count(left), all=count(line.quantity), what=line.what)


def _promised(line: LineFacts, today: date) -> str:
    current = current_promise(line.promises)
    if current is None:
        silent = silent_days(line, today)
        return ngettext(
            "no date given, silent for {number} day", "no date given, silent for {number} days", silent
        ).format(number=silent)
    dated = [promise for promise in line.promises if promise.gives_a_date]
    words = gettext("promised {promise_words}, {ordinal} date").format(
        promise_words=promise_words(current, today), ordinal=ordinal(len(dated))
    )
    unsaid = not in_order_given(line.promises)[-1].gives_a_date
    return gettext("{words}, since then no date").format(words=words) if unsaid else words


def _late(line: LineFacts, today: date) -> str:
    if is_silent(line, today):
        return gettext(": late")
    late = days_overdue(line, today)
    return f", {overdue(late)}" if late else ""
