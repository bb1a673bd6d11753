"""Writing decisions about late lines: one verb each, with permission, one transaction and history inside."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base.roles import require
from shop.orders import changes as orders
from shop.orders.models import Cancellation, Mail, Order, OrderLine, Supplier
from shop.orders.outbox import put_in_outbox
from shop.orders.rules import to_come
from shop.planning.comparison import ASSUMPTIONS, WaitOrBuy
from shop.planning.models import Choice, MorningMail

LONGEST_CANCELLATION = Cancellation._meta.get_field("reason").max_length or 0


def _figures(comparison: WaitOrBuy) -> dict[str, Any]:
    """The comparison as it stood on screen, in plain JSON."""

    def plain(value: Any) -> Any:
        # Databases differ in the noughts they give a product of decimals; the page showed two places.
        return f"{value:.2f}" if isinstance(value, Decimal) else str(value) if isinstance(value, date) else value

    ways = {name: asdict(getattr(comparison, name)) for name in ("waiting", "elsewhere")}
    shown = {name: {key: plain(value) for key, value in way.items()} for name, way in ways.items()}
    return {**shown, "sooner": comparison.sooner, "assumptions": list(ASSUMPTIONS)}


def _on_the_order(other: Supplier, reason: str) -> str:
    """The reason on the cancelled line; the choice keeps a long one, which the line has no room for, whole."""
    said = gettext("bought from {other}: {reason}").format(other=other, reason=reason)
    return (
        said
        if len(said) <= LONGEST_CANCELLATION
        else gettext("bought from {other}; why stands with the choice").format(other=other)
    )


def _reason(reason: str) -> str:
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why.")})
    return reason.strip()


@transaction.atomic
def keep_waiting(line: OrderLine, *, other: Supplier, comparison: WaitOrBuy, reason: str, person: User) -> Choice:
    """Keep the decision to go on waiting, with the figures it was made on."""
    require(person, "planning.choose")
    _to_come(line)
    return _save(Choice(line=line, other=other, reason=_reason(reason), figures=_figures(comparison)), person)


@transaction.atomic
def buy_elsewhere(
    line: OrderLine,
    *,
    other: Supplier,
    lead_days: int,
    price: Decimal,
    money_back: Decimal,
    comparison: WaitOrBuy,
    reason: str,
    person: User,
    today: date,
) -> Choice:
    """Order what is to come of a line from another supplier, cancel it here, and keep why. All or nothing."""
    require(person, "planning.choose")
    why, left = _reason(reason), _to_come(line)
    bought = _order(line, other, left, price, person, today)
    orders.record_promise(
        lines=OrderLine.objects.with_story().filter(order=bought),
        given_on=today,
        earliest=today + timedelta(days=lead_days),
        latest=today + timedelta(days=lead_days),
        words=gettext("their stated lead time"),
        person=person,
        today=today,
    )
    orders.cancel_pieces(
        line=line, on=today, quantity=left, reason=_on_the_order(other, why), money_back=money_back,
        person=person, today=today,
    )  # fmt: skip
    return _save(Choice(line=line, other=other, bought=bought, reason=why, figures=_figures(comparison)), person)


def _to_come(line: OrderLine) -> Decimal:
    """How many are still to come; raises ValidationError where there is nothing to decide on any more."""
    left = to_come(line.as_rule())
    if not left:
        raise ValidationError(gettext("Nothing of this line is still to come."))
    return left


def _order(line: OrderLine, other: Supplier, quantity: Decimal, price: Decimal, person: User, today: date) -> Order:
    part = {"component": line.component, "text": line.text, "part_need": line.part_need}
    return orders.place_order(
        order=Order(supplier=other, ordered_on=today),
        lines=[OrderLine(**part, quantity=quantity, price=price)],
        person=person,
        today=today,
    )


def _save(choice: Choice, person: User) -> Choice:
    choice.person_id = person.pk
    choice._history_user = person  # type: ignore[attr-defined]
    choice.full_clean(exclude=["person"])
    choice.save()
    return choice


def cancellation_of(choice: Choice) -> Cancellation | None:
    """The cancellation that a choice made, to write to the supplier about."""
    return choice.line.cancellations.active().order_by("pk").last() if choice.bought_id else None


@transaction.atomic
def want_morning_mail(*, person: User, wanted: bool) -> MorningMail:
    """Turn the morning's mail on or off for oneself."""
    require(person, "planning.own")
    morning = MorningMail.objects.filter(person=person).first() or MorningMail(person=person)
    morning.wanted = wanted
    morning._history_user = person  # type: ignore[attr-defined]
    morning.save()
    return morning


@transaction.atomic
def write_test_mail(*, person: User) -> Mail:
    """Put a mail to oneself into the outbox."""
    require(person, "planning.own")
    body = gettext("This is a test from the workshop. It arrived, so the morning's mail will arrive as well.\n")
    return put_in_outbox(to=person.email, subject=gettext("Test mail"), body=body, person=person)
