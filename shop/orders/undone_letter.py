"""Drafts of letters to suppliers that undo what was ordered: cancelled, sent back, not as ordered. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.translation import gettext

from shop.base.money import in_money
from shop.base.written import written_as_usual
from shop.orders.letter import Letter, Named, answer_by, letter_text, text_table, theirs
from shop.orders.letter_days import weekday_of
from shop.orders.text import count


@dataclass(frozen=True)
class Undone:
    """Parts of an order that are cancelled or sent back: the money to get back, and whether others are to come."""

    number: str
    reference: str
    contact: str
    named: Sequence[Named]
    money_back: Decimal
    currency: str
    signed: str
    today: date
    to_be_replaced: bool = False


@written_as_usual()
def draft_cancellation(undone: Undone) -> Letter:
    """Return the draft of a cancellation, with the money to get back."""
    rows = [
        (gettext("Part"), gettext("Quantity cancelled")),
        *((one.what, count(one.quantity)) for one in undone.named),
    ]
    asked = gettext("Please confirm the cancellation by {weekday_of}.").format(
        weekday_of=weekday_of(answer_by(undone.today))
    )
    says = gettext("we cancel the parts below from our order {number}{theirs}.")
    return _undoing(undone, gettext("Order {number}: cancellation"), says, rows, asked)


@written_as_usual()
def draft_return(undone: Undone) -> Letter:
    """Return the draft that goes with parts sent back, wrong ones among them."""
    rows = [
        (gettext("Part"), gettext("Quantity"), gettext("Reason")),
        *((one.what, count(one.quantity), one.reason) for one in undone.named),
    ]
    asked = gettext("Please confirm by {weekday_of} that they reached you.")
    if undone.to_be_replaced:
        asked = gettext(
            "Please confirm by {weekday_of} that they reached you, and tell us when you send others in their place."
        )
    says = gettext("we are returning the parts below from our order {number}{theirs}.")
    asked = asked.format(weekday_of=weekday_of(answer_by(undone.today)))
    return _undoing(undone, gettext("Order {number}: return"), says, rows, asked)


@written_as_usual()
def draft_wrong_part(undone: Undone) -> Letter:
    """Return the draft that tells a supplier of parts that came and are not what was ordered, or are faulty."""
    rows = [(gettext("Part ordered"), gettext("Quantity"), gettext("What is wrong"))]
    rows += [(one.what, count(one.quantity), one.reason) for one in undone.named]
    by = weekday_of(answer_by(undone.today))
    asked = gettext("Please confirm this by {by}. The wrong ones go back to you.")
    if undone.to_be_replaced:
        asked = gettext(
            "Please tell us by {by} on which day you dispatch the right ones. The wrong ones go back to you."
        )
    says = gettext("parts came that are not as ordered. They are from our order {number}{theirs}.")
    return _undoing(undone, gettext("Order {number}: wrong parts delivered"), says, rows, asked.format(by=by))


def _undoing(undone: Undone, subject: str, says: str, rows: Sequence[Sequence[str]], asked: str) -> Letter:
    order = says.format(number=undone.number, theirs=theirs(undone.reference))
    pay = _pay_back(undone.money_back, undone.currency)
    body = letter_text(undone.contact, order, text_table(rows), f"{pay}{asked}", signed=undone.signed)
    return Letter(subject.format(number=undone.number), body)


def _pay_back(money: Decimal, currency: str) -> str:
    return gettext("Please pay back {in_money}. ").format(in_money=in_money(money, currency)) if money else ""
