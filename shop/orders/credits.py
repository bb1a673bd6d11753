"""What suppliers owe the shop: money and pieces for what went back or was cancelled, credit notes, the day it came."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q
from django.utils.translation import gettext

from shop.base.money import in_money, to_cents
from shop.base.records import save_as
from shop.base.roles import require
from shop.base.unchanged import while_unchanged
from shop.orders import refusals
from shop.orders.models import Cancellation, Credit, Return

Event = Return | Cancellation


@dataclass(frozen=True)
class Owed:
    """Money or pieces that a supplier owes, since when. Money without a price on its line is not known (None)."""

    event: Event
    since: date
    money: Decimal | None = None
    pieces: Decimal = Decimal(0)
    noted: bool = False

    @property
    def order(self) -> Any:
        return self.event.line.order

    @property
    def in_ours(self) -> Decimal:
        """The money in the shop's currency, by the rate of its order."""
        return to_cents((self.money or Decimal(0)) * (self.order.rate or Decimal(1)))

    @property
    def is_unknown(self) -> bool:
        """Whether money is owed of which nobody can say how much."""
        return self.money is None and not self.pieces

    def days(self, today: date) -> int:
        """Days since the pieces went back or were cancelled."""
        return (today - self.since).days


@while_unchanged
def owed_to_us() -> list[Owed]:
    """Return what suppliers owe, the longest owed first, in a constant number of queries."""
    found = [*(_money(event) for event in _open_events()), *_replacements()]
    return sorted(found, key=lambda owed: (owed.since, owed.event.pk))


def _open_events() -> Iterable[Event]:
    for model, may_owe in (
        (Return, Q(to_be_replaced=False) | Q(money_back__gt=0)),
        (Cancellation, Q(money_back__gt=0)),
    ):
        rows = model.objects.active().filter(may_owe, money_back_on=None, line__order__deleted_at=None)
        rows = rows.select_related("line__order__supplier", "line__component").prefetch_related("credits")
        yield from (event for event in rows if event.owes_money or _amount_unknown(event))


def _amount_unknown(event: Event) -> bool:
    """Whether pieces went back for money of which nobody can say how much: no price, and nothing said."""
    return isinstance(event, Return) and event.money_back is None and not event.line.price and not event.is_spared


def _money(event: Event) -> Owed:
    noted = any(not credit.is_deleted for credit in event.credits.all())
    return Owed(event, event.on, None if _amount_unknown(event) else event.still_owed, noted=noted)


def _replacements() -> Iterable[Owed]:
    """Pieces sent back that did not come again: what comes fills the oldest gap, so the latest returns are open."""
    returns: dict[int, list[Return]] = {}
    rows = Return.objects.active().filter(to_be_replaced=True, line__awaited=True, line__order__deleted_at=None)
    for one in rows.select_related("line__order__supplier", "line__component").order_by("-on", "-pk"):
        returns.setdefault(one.line_id, []).append(one)
    for of_line in returns.values():
        left = of_line[0].line.left
        for one in of_line:
            if pieces := min(left, one.quantity):
                yield Owed(one, one.on, pieces=pieces)
            left -= pieces


def most_back(event: Event) -> Decimal:
    """Return the most that pieces can bring back: cost with tax, or the deposit on what never came; 0: not known."""
    order = event.line.order
    cost = order.cost(to_cents(event.quantity * event.line.price))
    return max(cost, order.deposit) if cost and isinstance(event, Cancellation) else cost


def _refuse_more_than_paid(credit: Credit, event: Event) -> None:
    refused = refusals.refuse_money(credit.amount, most_back(event), event.line.order.currency_code)
    if refused:
        raise ValidationError({"amount": refused["money_back"]})


def _refuse_credit(credit: Credit, event: Event, today: date) -> None:
    errors = {
        "on": refusals.wrong_day(credit.on, today, ahead=False),
        "came_on": refusals.wrong_day(credit.came_on, today, ahead=False),
    }
    if credit.on < event.on:
        errors["on"] = errors["on"] or gettext("A credit cannot be older than what it is for.")
    others = [one.amount for one in event.credits.all() if not one.is_deleted and one.pk != credit.pk]
    left = max(event.money_owed, Decimal(0)) - sum(others, Decimal(0))
    if event.money_back_on is not None and credit.pk is None:
        errors["amount"] = gettext("All of the money came already.")
    elif credit.amount > left:
        still = in_money(max(left, Decimal(0)), event.line.order.currency_code)
        errors["amount"] = gettext("Only {still} of it is still to be credited.").format(still=still)
    if refused := {name: words for name, words in errors.items() if words}:
        raise ValidationError(refused)


def refuse_too_much_credit(credit: Credit) -> None:
    """Refuse to bring a credit back whose place was taken since. Raises ValidationError."""
    _refuse_credit(credit, credit.event, max(credit.on, credit.came_on or credit.on))


INSTEAD, BOTH = "instead", "both"
"""What a credit for pieces that were to be sent again means: they are not any more, or they are as well."""


def asks_which(event: Event) -> bool:
    """Whether a credit for it would be owed beside pieces that are sent again, and nobody has said so yet."""
    return isinstance(event, Return) and event.may_be_credited


def _settle_which(held: Return, credit: Credit, settles: str, person: User) -> None:
    """Let the return say what the credit means. Raises ValidationError while nobody has said it."""
    if settles not in (INSTEAD, BOTH):
        words = gettext("It is on record that they send these again. Say whether the money comes instead, or both do.")
        raise ValidationError({"settles": words})
    if settles == INSTEAD and held.line.left < held.quantity:
        words = gettext("What they sent in its place came already. Choose both, or delete that delivery first.")
        raise ValidationError({"settles": words})
    held.to_be_replaced = settles == BOTH
    # Instead of pieces their whole price is owed, whatever of it is credited first; beside them, what is credited.
    held.money_back = credit.amount if settles == BOTH else None
    said = (
        gettext("credited instead of sent again") if settles == INSTEAD else gettext("credited, and sent again as well")
    )
    save_as(held, person=person, reason=said)


@transaction.atomic
def record_credit(event: Event, *, credit: Credit, person: User, today: date, settles: str = "") -> Credit:
    """Keep a credit for a return or a cancellation; it cannot exceed what is owed for it. Raises Stale when changed.

    `settles`: what it means for pieces that were to be sent again, INSTEAD or BOTH.
    """
    require(person, "orders.order")
    held = type(event).objects.select_for_update().get(pk=event.pk)
    if isinstance(held, Return) and asks_which(held):
        _refuse_more_than_paid(credit, held)
        _settle_which(held, credit, settles, person)
    if isinstance(held, Return):
        credit.returned = held
    else:
        credit.cancelled = held
    if isinstance(held, Return) and held.money_back is None and not held.money_owed and not held.to_be_replaced:
        held.money_back = credit.amount  # nobody could say how much: the credit note says it
        save_as(held, person=person)
    _refuse_credit(credit, held, today)
    if not credit.recorded_by_id:
        credit.recorded_by_id = person.pk
    credit.full_clean(exclude=["recorded_by"])
    return save_as(credit, person=person)


@transaction.atomic
def record_money_came(event: Event, *, on: date, person: User, today: date) -> Event:
    """Keep the day on which all that is still owed came: of credit notes on record, and of the rest."""
    require(person, "orders.order")
    if words := refusals.wrong_day(on, today, ahead=False):
        raise ValidationError({"on": words})
    held = type(event).objects.select_for_update().get(pk=event.pk)
    if not held.owes_money:
        raise ValidationError({"on": gettext("No money is owed for this any more.")})
    if on < held.on:
        raise ValidationError({"on": gettext("The money cannot be older than what it is for.")})
    for credit in held.credits.active().filter(came_on=None):
        credit.came_on = on
        save_as(credit, person=person)
    held.refresh_from_db()
    if rest := held.still_owed:
        kind = {"returned": held} if isinstance(held, Return) else {"cancelled": held}
        save_as(Credit(**kind, on=on, amount=rest, came_on=on, recorded_by_id=person.pk), person=person)
    return held
