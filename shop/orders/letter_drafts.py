"""Which letter can be written about an order, drafted from its record."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.roles import Person, person_name
from shop.base.shop_details import shop
from shop.orders.approval import why_it_waits
from shop.orders.held_up import holds
from shop.orders.letter import (
    Letter,
    LetterLine,
    Named,
    draft,
    draft_all,
    draft_confirmation,
    draft_short,
)
from shop.orders.letter_days import in_figures
from shop.orders.letter_language import is_english, own_text
from shop.orders.models import Cancellation, Order, OrderLine, Return, Supplier
from shop.orders.order_letter import draft_order
from shop.orders.rules import here
from shop.orders.undone_letter import Undone, draft_cancellation, draft_return, draft_wrong_part


@dataclass(frozen=True)
class LetterKind:
    """One kind of letter: `about` in the address, what a link to it says, and what it is drafted by."""

    about: str
    title: str
    write: Callable[[Order, str, date], Letter]


def draft_letter(order: Order, about: str, person: Person, today: date) -> Letter:
    """Draft the letter of that kind. Raises ValidationError where the record holds nothing to write about."""
    kind = next((kind for kind in LETTER_KINDS if kind.about == about), LETTER_KINDS[0])
    with in_figures(not is_english(order.supplier.language)):
        letter = kind.write(order, f"{person_name(person)}\n{shop().name}", today)
    return own_text(order.supplier, kind.about).above(letter)


def draft_about_all(supplier: Supplier, lines: Sequence[OrderLine], person: Person, today: date) -> Letter:
    """Draft one letter about all lines that are to come from a supplier."""
    with in_figures(not is_english(supplier.language)):
        letter = draft_all(
            contact=supplier.contact,
            account=supplier.account,
            asked=[(line.order.number, line.as_rule()) for line in lines],
            signed=f"{person_name(person)}\n{shop().name}",
            today=today,
        )
    return own_text(supplier, ALL_OPEN).above(letter)


def _chase(order: Order, signed: str, today: date) -> Letter:
    lines = list(OrderLine.objects.to_come().filter(order=order).with_story())
    _demand(
        lines, gettext("Nothing of order {order} is still to come: there is nothing to ask for.").format(order=order)
    )
    held = holds(lines, today)
    return draft(
        **_common(order, signed, today),
        reference=order.reference,
        ordered_on=order.ordered_on,
        asked=[LetterLine(line.as_rule(), len(held[line.pk].steps) if line.pk in held else 0) for line in lines],
    )


def _confirmation(order: Order, signed: str, today: date) -> Letter:
    lines = [line.as_rule() for line in OrderLine.objects.to_come().filter(order=order).with_story()]
    silent = [line for line in lines if not any(promise.gives_a_date for promise in line.promises)]
    _demand(
        silent,
        gettext("Every line of order {order} that is to come has a date: there is nothing to confirm.").format(
            order=order
        ),
    )
    return draft_confirmation(
        **_common(order, signed, today), reference=order.reference, ordered_on=order.ordered_on, unconfirmed=silent
    )


def _order(order: Order, signed: str, today: date) -> Letter:
    lines = list(order.lines.select_related("component"))
    _demand(lines, gettext("Order {order} has no line yet: add what you order first.").format(order=order))
    lines = [line for line in lines if line.quantity > line.undone]
    _demand(
        lines, gettext("All of order {order} is cancelled or went back: there is nothing to order.").format(order=order)
    )
    amounts = order.amounts(sum((line.amount_now for line in lines), Decimal(0)))
    if waits := why_it_waits(order, amounts.net_in_ours):
        raise ValidationError(waits)
    return draft_order(
        **_common(order, signed, today),
        account=order.supplier.account,
        named=[Named(one.quantity - one.undone, one.what, one.price, number=one.supplier_number) for one in lines],
        amounts=amounts,
        currency=order.currency_code,
    )


def _cancellation(order: Order, signed: str, today: date) -> Letter:
    gone = list(Cancellation.objects.active().filter(line__order=order).select_related("line__component"))
    _demand(
        gone,
        gettext("Nothing of order {order} is cancelled: record the cancellation on its line first.").format(
            order=order
        ),
    )
    return draft_cancellation(_undone(order, gone, signed, today))


def _return(order: Order, signed: str, today: date) -> Letter:
    gone = list(Return.objects.active().filter(line__order=order).select_related("line__component", "line__order"))
    _demand(
        gone, gettext("Nothing of order {order} was returned: record the return on its line first.").format(order=order)
    )
    return draft_return(_undone(order, gone, signed, today))


def _wrong_part(order: Order, signed: str, today: date) -> Letter:
    wrong = list(Return.objects.active().filter(line__order=order).select_related("line__component", "line__order"))
    wrong = [one for one in wrong if one.owes_money or (one.to_be_replaced and one.line.awaited)] or wrong
    _demand(
        wrong,
        gettext("No part of order {order} is recorded as wrong: record its return on its line first.").format(
            order=order
        ),
    )
    return draft_wrong_part(_undone(order, wrong, signed, today))


def _short(order: Order, signed: str, today: date) -> Letter:
    lines = [line.as_rule() for line in OrderLine.objects.to_come().filter(order=order).with_story()]
    begun = [line for line in lines if here(line)]
    _demand(
        begun,
        gettext("No line of order {order} came in part: there is nothing missing to tell of.").format(order=order),
    )
    return draft_short(**_common(order, signed, today), reference=order.reference, missing=begun)


def _undone(order: Order, gone: list[Any], signed: str, today: date) -> Undone:
    return Undone(
        **_common(order, signed, today),
        reference=order.reference,
        named=[Named(one.quantity, one.line.what, one.line.price, one.reason) for one in gone],
        money_back=sum((one.money_owed for one in gone if one.owes_money), Decimal(0)),
        currency=order.currency_code,
        to_be_replaced=any(getattr(one, "to_be_replaced", False) for one in gone),
    )


def _common(order: Order, signed: str, today: date) -> dict[str, Any]:
    return {"number": order.number, "contact": order.supplier.contact, "signed": signed, "today": today}


def _demand(found: list[Any], words: str) -> None:
    if not found:
        raise ValidationError(words)


ALL_OPEN = "all_open"
"""The letter about all that is open with a supplier: of no order, so of none of the kinds."""

LETTER_KINDS = (
    LetterKind("", gettext_lazy("Ask when it comes"), _chase),
    LetterKind("order", gettext_lazy("Place the order"), _order),
    LetterKind("confirmation", gettext_lazy("Ask to confirm it"), _confirmation),
    LetterKind("cancellation", gettext_lazy("Cancel what was cancelled"), _cancellation),
    LetterKind("return", gettext_lazy("Return parts"), _return),
    LetterKind("wrong-part", gettext_lazy("Tell of wrong parts"), _wrong_part),
    LetterKind("short", gettext_lazy("Tell of missing pieces"), _short),
)
