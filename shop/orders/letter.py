"""Drafts of letters to suppliers: what is asked, the lines as a table, by which day, a close and a name. Pure.

A letter is kept as plain text, so that mail and paper carry the same words. A table in it is a block of lines whose
cells stand between upright strokes, its heading first: mail shows it as it is, paper draws it as a table.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.utils.translation import gettext, ngettext

from shop.base.language import gettext_lazy
from shop.base.written import written_as_usual
from shop.orders.letter_days import letter_day, weekday_of
from shop.orders.rules import LineFacts, PromiseFacts, days_overdue, expected_on, first_promise, to_come
from shop.orders.text import count
from specs.phrase import listed

CELL = " | "
CLOSE = gettext_lazy("Kind regards,")
ANSWER_DAYS = 2
"""Working days that a supplier has to answer; common practice, no source."""


@dataclass(frozen=True)
class LetterLine:
    """One line to ask about, and how many steps of a vehicle wait for it."""

    line: LineFacts
    steps_waiting: int = 0


@dataclass(frozen=True)
class Letter:
    subject: str
    body: str


@dataclass(frozen=True)
class Named:
    """So many of one thing, at a price each, for a letter that orders, cancels or returns; `reason` says why.

    `number` is the supplier's own for the part.
    """

    quantity: Decimal
    what: str
    price: Decimal
    reason: str = ""
    number: str = ""


ASK_AGAIN = timedelta(days=7)
"""When a letter that named no day is followed by the next asking."""


def answer_by(today: date) -> date:
    """The day to answer by: two weekdays on.

    >>> answer_by(date(2026, 11, 26)).isoformat()
    '2026-11-30'
    """
    by = today
    for _ in range(ANSWER_DAYS):
        by += timedelta(days=1)
        while by.weekday() >= 5:
            by += timedelta(days=1)
    return by


@written_as_usual()
def draft(
    *,
    number: str,
    reference: str,
    ordered_on: date,
    contact: str,
    asked: Sequence[LetterLine],
    signed: str,
    today: date,
) -> Letter:
    """Return the draft that asks when the lines of one order will come. No customer is named in it."""
    late = " ".join(filter(None, (_late(one, today) for one in asked)))
    rows: list[Sequence[str]] = [
        (gettext("Part"), gettext("To come"), gettext("First promised"), gettext("Last promised"), gettext("Days late"))
    ]
    rows += [_asked_row(one.line, today) for one in asked]
    body = letter_text(
        contact,
        gettext("on {letter_day} we ordered the parts below under our number {number}{theirs}. {late}").format(
            letter_day=letter_day(ordered_on), number=number, theirs=theirs(reference), late=late
        ),
        text_table(rows),
        gettext(
            "Please tell us by {weekday_of} on which day each part will be dispatched. If you do not "
            "know it yet, tell us by then on which day you will."
        ).format(weekday_of=weekday_of(answer_by(today))),
        signed=signed,
    )
    what = asked[0].line.what if len(asked) == 1 else _parts(len(asked))
    return Letter(
        gettext("Order {number}: when will you dispatch {short}?").format(number=number, short=_short(what)), body
    )


@written_as_usual()
def draft_all(
    *, contact: str, account: str, asked: Sequence[tuple[str, LineFacts]], signed: str, today: date
) -> Letter:
    """Return the draft that asks for all lines that are open with a supplier, each with the number of its order."""
    rows: list[Sequence[str]] = [
        (
            gettext("Our order"),
            gettext("Part"),
            gettext("To come"),
            gettext("First promised"),
            gettext("Last promised"),
            gettext("Days late"),
        )
    ]
    rows += [(number, *_asked_row(line, today)) for number, line in asked]
    ours = gettext(" Our customer number with you is {account}.").format(account=account) if account else ""
    body = letter_text(
        contact,
        gettext("the parts below are on order with you and not here yet.{ours}").format(ours=ours),
        text_table(rows),
        gettext(
            "Please tell us by {weekday_of} on which day each part will be dispatched. If you do not "
            "know it yet, tell us by then on which day you will."
        ).format(weekday_of=weekday_of(answer_by(today))),
        signed=signed,
    )
    subject = ngettext(
        "{number} part on order with you: when will you dispatch them?",
        "{number} parts on order with you: when will you dispatch them?",
        len(asked),
    )
    return Letter(subject.format(number=len(asked)), body)


@written_as_usual()
def draft_confirmation(
    *,
    number: str,
    reference: str,
    ordered_on: date,
    contact: str,
    unconfirmed: Sequence[LineFacts],
    signed: str,
    today: date,
) -> Letter:
    """Return the draft that asks to confirm an order whose lines have no date yet."""
    rows = [(gettext("Part"), gettext("Quantity")), *((line.what, count(to_come(line))) for line in unconfirmed)]
    body = letter_text(
        contact,
        gettext(
            "on {letter_day} we ordered the parts below under our number {number}{theirs}. We "
            "have no confirmation of them and no day yet."
        ).format(letter_day=letter_day(ordered_on), number=number, theirs=theirs(reference)),
        text_table(rows),
        gettext("Please confirm the order, and the day on which each part will be dispatched, by {weekday_of}.").format(
            weekday_of=weekday_of(answer_by(today))
        ),
        signed=signed,
    )
    return Letter(gettext("Order {number}: please confirm").format(number=number), body)


@written_as_usual()
def draft_short(
    *, number: str, reference: str, contact: str, missing: Sequence[LineFacts], signed: str, today: date
) -> Letter:
    """Return the draft that tells a supplier of pieces that are missing from what came."""
    rows = [(gettext("Part"), gettext("Ordered"), gettext("Still missing"))]
    rows += [(line.what, count(line.quantity), count(to_come(line))) for line in missing]
    body = letter_text(
        contact,
        gettext("pieces are missing from what came of our order {number}{theirs}.").format(
            number=number, theirs=theirs(reference)
        ),
        text_table(rows),
        gettext("Please tell us by {weekday_of} on which day you dispatch them.").format(
            weekday_of=weekday_of(answer_by(today))
        ),
        signed=signed,
    )
    return Letter(gettext("Order {number}: pieces missing").format(number=number), body)


def letter_text(contact: str, *blocks: str, signed: str) -> str:
    """A letter's text: salutation, blocks, close, name; the first block begins its sentence."""
    first, *rest = blocks
    text = [
        gettext("Dear {value},").format(value=contact or gettext("Sir or Madam")),
        f"{first[:1].upper()}{first[1:]}".strip(),
        *map(str, rest),
        str(CLOSE),
        signed,
    ]
    return "\n\n".join(text) + "\n"


def closes(block: str) -> bool:
    """Whether a block of a letter is its close, in English or in the shop's language, of which either may be kept."""
    return block.strip() in (CLOSE, str(CLOSE))


def theirs(reference: str) -> str:
    """What follows our number where the supplier has one of his own."""
    return gettext(" (your reference {reference})").format(reference=reference) if reference else ""


def _parts(number: int) -> str:
    return ngettext("{number} part", "{number} parts", number).format(number=number)


def _short(what: str) -> str:
    return what if len(what) <= 60 else gettext("the part")


def text_table(rows: Iterable[Sequence[str]]) -> str:
    """Rows as lines of text. A cell is one line and holds no upright stroke of its own."""
    return "\n".join(CELL.join(" ".join(cell.replace("|", "/").split()) or "–" for cell in row) for row in rows)


def _asked_row(line: LineFacts, today: date) -> tuple[str, ...]:
    left = to_come(line)
    quantity = (
        count(left)
        if left == line.quantity
        else gettext("{left} of {all}").format(left=count(left), all=count(line.quantity))
    )
    first, last = first_promise(line.promises), expected_on(line.promises)
    late = days_overdue(line, today)
    return (
        line.what,
        quantity,
        _promised(first) if first else gettext("no date yet"),
        letter_day(last) if last else gettext("no date yet"),
        str(late) if late else "",
    )


def _promised(promise: PromiseFacts) -> str:
    if promise.earliest is None or promise.latest is None:
        return gettext("no date")
    if promise.is_range:
        earliest, latest = letter_day(promise.earliest), letter_day(promise.latest)
        return gettext("{earliest} to {latest}").format(earliest=earliest, latest=latest)
    return letter_day(promise.latest)


def _late(one: LetterLine, today: date) -> str:
    """What to say of a line before the table: how often it was put off, how late it is, what waits for it."""
    times = sum(promise.gives_a_date for promise in one.line.promises) - 1
    put_off = {0: "", 1: gettext("was put off once"), 2: gettext("was put off twice")}.get(
        max(times, 0), gettext("was put off {times} times").format(times=times)
    )
    late = days_overdue(one.line, today)
    past = ngettext(
        "is {number} day past the last date that you gave us",
        "is {number} days past the last date that you gave us",
        late,
    ).format(number=late)
    told = [str(listed(filter(None, (put_off, past if late else ""))))] if late or times > 0 else []
    if one.steps_waiting:
        waits = ngettext(
            "a vehicle here waits for it: {number} step cannot be done",
            "a vehicle here waits for it: {number} steps cannot be done",
            one.steps_waiting,
        )
        told.append(waits.format(number=one.steps_waiting))
    if not told:
        return ""
    what = f"{one.line.what[:1].upper()}{one.line.what[1:]}"
    return f"{what}: {told[0]}." if not (late or times > 0) else f"{what} {'; '.join(told)}."
