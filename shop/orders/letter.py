"""The draft of a chase: a plain letter that says what was ordered, what was promised, and what waits on it. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from shop.base.money import Taxed, in_money, to_cents
from shop.orders.rules import LineFacts, expected_on, first_promise, is_overdue, to_come
from shop.orders.text import (
    count,
    day,
    plural,
    promise_words,
)


@dataclass(frozen=True)
class LetterLine:
    """One line to ask about, and how many steps of a vehicle wait for it."""

    line: LineFacts
    steps_waiting: int = 0


@dataclass(frozen=True)
class Letter:
    subject: str
    body: str


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
    """Return the draft for one order. No customer is named in it."""
    theirs = f" (your reference {reference})" if reference else ""
    lines = "\n\n".join(_about(one, today) for one in asked)
    body = (
        f"Dear {contact or 'Sir or Madam'},\n\n"
        f"on {day(ordered_on, today)} we ordered from you under our number {number}{theirs}:\n\n"
        f"{lines}\n\n"
        "Please tell us the day on which each of these will be dispatched, and if you do not know it yet, "
        "on which day you will.\n\n"
        f"{signed}\n"
    )
    return Letter(f"Order {number}{theirs}: when will it come?", body)


def _about(one: LetterLine, today: date) -> str:
    line = one.line
    left = to_come(line)
    quantity = count(left) if left == line.quantity else f"{count(left)} of {count(line.quantity)}"
    facts = [f"  {quantity} × {line.what}", f"  {_promised(line, today)}"]
    if one.steps_waiting:
        facts.append(f"  A vehicle here waits for it; {plural(one.steps_waiting, 'step')} cannot be done.")
    return "\n".join(facts)


def _promised(line: LineFacts, today: date) -> str:
    first = first_promise(line.promises)
    if first is None:
        return "You have not given us a date yet."
    revisions = sum(promise.gives_a_date for promise in line.promises) - 1
    words = f"First promised for {promise_words(first, today)}"
    expected = expected_on(line.promises)
    if revisions and expected:
        words += f", put off {'once' if revisions == 1 else f'{revisions} times'} since, last to {day(expected, today)}"
    late = f", and now {plural((today - expected).days, 'day')} past" if expected and is_overdue(line, today) else ""
    return f"{words}{late}."


@dataclass(frozen=True)
class Named:
    """So many of one thing, at a price each, for a letter that orders or cancels."""

    quantity: Decimal
    what: str
    price: Decimal


def draft_order(
    *, number: str, contact: str, named: Sequence[Named], tax_percent: Decimal, currency: str, signed: str
) -> Letter:
    """Return the draft of an order, with what it comes to."""
    lines = "\n".join(
        f"  {count(one.quantity)} × {one.what}, at {in_money(one.price, currency)} each without tax" for one in named
    )
    total = Taxed(sum((to_cents(one.quantity * one.price) for one in named), Decimal(0)), tax_percent)
    body = (
        f"Dear {contact or 'Sir or Madam'},\n\nplease send us under our order number {number}:\n\n{lines}\n\n"
        f"Together: {total.words(currency)}.\n\n"
        f"Please confirm it, and the day on which it will be dispatched.\n\n{signed}\n"
    )
    return Letter(f"Order {number}", body)


def draft_cancellation(
    *,
    number: str,
    reference: str,
    contact: str,
    named: Sequence[Named],
    money_back: Decimal,
    currency: str,
    signed: str,
) -> Letter:
    """Return the draft of a cancellation, with the money to get back."""
    theirs = f" (your reference {reference})" if reference else ""
    lines = "\n".join(f"  {count(one.quantity)} × {one.what}" for one in named)
    money = f"Please pay back {in_money(money_back, currency)}. " if money_back else ""
    body = (
        f"Dear {contact or 'Sir or Madam'},\n\nwe cancel of our order {number}{theirs}:\n\n{lines}\n\n"
        f"{money}Please confirm the cancellation.\n\n{signed}\n"
    )
    return Letter(f"Order {number}{theirs}: cancellation", body)
