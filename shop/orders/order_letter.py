"""The letter that places an order: parts under the supplier's numbers, prices, what comes off and on top. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from django.utils.translation import gettext

from shop.base.money import in_money, to_cents
from shop.base.written import num, written_as_usual
from shop.orders.amounts import Amounts
from shop.orders.letter import Letter, Named, answer_by, letter_text, text_table
from shop.orders.letter_days import weekday_of
from shop.orders.text import count


@written_as_usual()
def draft_order(
    *,
    number: str,
    contact: str,
    account: str,
    named: Sequence[Named],
    amounts: Amounts,
    currency: str,
    signed: str,
    today: date,
) -> Letter:
    """Return the draft of an order, with their numbers of the parts where they are known, and what it comes to."""
    theirs = (gettext("Your number"),) if any(one.number for one in named) else ()
    rows: list[Sequence[str]] = [
        (
            gettext("Part"),
            *theirs,
            gettext("Quantity"),
            gettext("Each, {currency}").format(currency=currency),
            gettext("Without tax, {currency}").format(currency=currency),
        )
    ]
    for one in named:
        price, amount = (num(to_cents(value), ".2f") for value in (one.price, one.quantity * one.price))
        rows.append((one.what, *((one.number,) if theirs else ()), count(one.quantity), price, amount))
    ours = gettext(" Our customer number with you is {account}.").format(account=account) if account else ""
    body = letter_text(
        contact,
        gettext(
            "we order the parts below. Please write our number {number} on your papers and on the parcel.{ours}"
        ).format(number=number, ours=ours),
        text_table(rows),
        gettext("{off_and_on}Together: {taxed}.").format(
            off_and_on=_off_and_on(amounts, currency), taxed=amounts.taxed.words(currency)
        ),
        gettext(
            "Please confirm this order, and the day on which each part will be dispatched, by {weekday_of}."
        ).format(weekday_of=weekday_of(answer_by(today))),
        signed=signed,
    )
    return Letter(gettext("Order {number}").format(number=number), body)


def _off_and_on(amounts: Amounts, currency: str) -> str:
    """What comes off the goods and on top of them, in words."""
    said = []
    if amounts.discount:
        percent = f"{count(amounts.discount_percent)} %"
        said.append(
            gettext("Less your discount of {percent}: {in_money}. ").format(
                percent=percent, in_money=in_money(amounts.discount, currency)
            )
        )
    if amounts.freight:
        said.append(gettext("Freight: {in_money}. ").format(in_money=in_money(amounts.freight, currency)))
    return "".join(said)
