"""What may not be recorded of an order, and why, in words: pure rules; today is an argument.

Each function returns the fault by field name; an empty mapping means that nothing is wrong.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.utils.translation import gettext

from shop.base.money import in_money
from shop.orders.rules import LineEventKind, LineFacts, here, to_come
from shop.orders.text import count, day

EARLIEST_YEAR = 2000
YEARS_AHEAD = 5

Errors = dict[str, str]


def wrong_day(value: date | None, today: date, *, ahead: bool = True) -> str:
    """Say why a day cannot be right: a slip of the finger in the year, or a day to come where none may be."""
    if value is None:
        return ""
    if not EARLIEST_YEAR <= value.year <= today.year + YEARS_AHEAD:
        return gettext("The year {year} cannot be right: give a day from {EARLIEST_YEAR} to {year_2}.").format(
            year=value.year, EARLIEST_YEAR=EARLIEST_YEAR, year_2=today.year + YEARS_AHEAD
        )
    if not ahead and value > today:
        return gettext("{day} is still to come; today is {day_2}.").format(
            day=day(value, today), day_2=day(today, today)
        )
    return ""


def _before_the_order(line: LineFacts, on: date, today: date) -> str:
    if on < line.ordered_on:
        return gettext("The order was placed on {day}; this cannot be before it.").format(
            day=day(line.ordered_on, today)
        )
    return ""


def refuse_promise(
    line: LineFacts, *, given_on: date, earliest: date | None, latest: date | None, words: str, today: date
) -> Errors:
    """A promise cannot be older than the order, cannot lie before the day it was made, and must say something."""
    errors = {
        "given_on": wrong_day(given_on, today, ahead=False) or _before_the_order(line, given_on, today),
        "earliest": wrong_day(earliest, today),
        "latest": wrong_day(latest, today),
    }
    if (earliest is None) != (latest is None):
        errors["latest"] = errors["latest"] or gettext("A range needs its first and its last day.")
    elif latest is None and not words.strip():
        errors["words"] = gettext("Without a date, write down the words they used.")
    elif earliest is not None and latest is not None and latest < earliest:
        errors["latest"] = errors["latest"] or gettext("The last day of the range lies before its first.")
    if latest is not None and latest < given_on:
        errors["latest"] = errors["latest"] or gettext("That day lies before {day}, when it was said.").format(
            day=day(given_on, today)
        )
    return _only_errors(errors)


def refuse_event(line: LineFacts, kind: LineEventKind, *, on: date, quantity: Decimal, today: date) -> Errors:
    """No more can come or be cancelled than is to come, none go back that is not here, nothing before the order."""
    return _only_errors(
        {
            "on": wrong_day(on, today, ahead=False) or _before_the_order(line, on, today),
            "quantity": _too_many(line, kind, quantity),
        }
    )


def _most(line: LineFacts, kind: LineEventKind) -> tuple[Decimal, str]:
    """Of how many pieces a line can still tell this at most, and how those stand."""
    if kind in (LineEventKind.DELIVERED, LineEventKind.CANCELLED):
        return to_come(line), gettext("still to come")
    return here(line), gettext("here")


def say_most(line: LineFacts, kind: LineEventKind) -> tuple[str, str]:
    """Say of how many pieces this can be told; or, as the second text, that there are none."""
    most, words = _most(line, kind)
    if not most:
        return "", gettext("Nothing of this line is {words}.").format(words=words)
    said = gettext("{count} of {count_2} {words}.")
    return said.format(count=count(most), count_2=count(line.quantity), words=words), ""


def _too_many(line: LineFacts, kind: LineEventKind, quantity: Decimal) -> str:
    if quantity <= 0:
        return gettext("Give a number above 0.")
    most, words = _most(line, kind)
    if quantity <= most:
        return ""
    return (
        gettext("Only {count} of {count_2} {words}.").format(
            count=count(most), count_2=count(line.quantity), words=words
        )
        if most
        else gettext("Nothing of this line is {words}.").format(words=words)
    )


def refuse_money(asked: Decimal | None, most: Decimal, currency: str) -> Errors:
    """No more comes back for pieces than they cost; where no price is known (`most` 0) nothing can be said."""
    if not asked or not most or asked <= most:
        return {}
    return {
        "money_back": gettext("They cost {in_money} with tax: no more than that can come back.").format(
            in_money=in_money(most, currency)
        )
    }


def refuse_both(to_be_replaced: bool, money: Decimal | None, both: bool) -> Errors:
    """Pieces that come again are not paid back as well, unless somebody who was asked says that both are agreed."""
    if not to_be_replaced or not money or both:
        return {}
    words = gettext(
        "You say that they are sent again, and that money comes back. Tick it if both are agreed, such as a credit "
    )
    return {"both": gettext("{words}note and a new invoice. Otherwise take out one of the two.").format(words=words)}


def refuse_order(*, ordered_on: date, today: date, insolvent_on: date | None = None) -> Errors:
    """An order is recorded on its day or later, not ahead of it; a new one is not given to an insolvent supplier."""
    insolvent = (
        gettext("It is insolvent since {day}: order from somebody else.").format(day=day(insolvent_on, today))
        if insolvent_on
        else ""
    )
    return _only_errors({"ordered_on": wrong_day(ordered_on, today, ahead=False), "supplier": insolvent})


def refuse_chase(
    *, on: date, ordered_on: date, answered_on: date | None, ask_again_on: date | None, today: date
) -> Errors:
    """The supplier was asked after the order was placed, answered after it was asked, and is asked again later."""
    errors = {
        "on": wrong_day(on, today, ahead=False),
        "answered_on": wrong_day(answered_on, today, ahead=False),
        "ask_again_on": wrong_day(ask_again_on, today),
    }
    if on < ordered_on:
        errors["on"] = errors["on"] or gettext("The order was placed on {day}; this cannot be before it.").format(
            day=day(ordered_on, today)
        )
    if answered_on and answered_on < on:
        errors["answered_on"] = errors["answered_on"] or gettext("The answer cannot be older than the question.")
    if ask_again_on and ask_again_on <= on:
        errors["ask_again_on"] = errors["ask_again_on"] or gettext(
            "Give a day after {day}, when they were asked."
        ).format(day=day(on, today))
    return _only_errors(errors)


def _only_errors(errors: Errors) -> Errors:
    return {field: words for field, words in errors.items() if words}


def refuse_moved(line: LineFacts, recorded: tuple[str, Decimal] | None) -> Errors:
    """Ask again about a parcel of a line of which somebody recorded something since its receiver looked.

    recorded: by whom the last delivery was recorded, and how many pieces.
    """
    left = to_come(line)
    came = (
        gettext("{person_name} recorded {count} meanwhile").format(person_name=recorded[0], count=count(recorded[1]))
        if recorded
        else gettext("It changed meanwhile")
    )
    still = (
        gettext("{count} of {count_2} still to come").format(count=count(left), count_2=count(line.quantity))
        if left
        else gettext("nothing is still to come")
    )
    # With nothing to come, saving again would be refused: what is more than was ordered needs the line changed first.
    again = (
        gettext("If yours came besides, save again.")
        if left
        else gettext("Leave it empty, or change the line if more came.")
    )
    return {"quantity": f"{came}; {still}. {again}"}
