"""Which lines and chases are somebody's: of orders that the person placed, or for a step that the person does."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import User
from django.db.models import Exists, OuterRef, Q, QuerySet

from shop.base.roles import OWNER, roles_of
from shop.orders.models import Chase, OrderLine, Promise
from shop.orders.queries import OrderLineQuerySet


def lines_of(person: User) -> OrderLineQuerySet:
    """Lines of which something is to come; the owner's are everybody's."""
    rows = OrderLine.objects.to_come()
    if OWNER in roles_of(person):
        return rows
    return rows.filter(Q(order__ordered_by=person) | Q(part_need__step__person=person))


def open_askings() -> QuerySet[Chase]:
    """The last chase of each order, where a day to ask again was set and a line that is to come got no date since."""
    later = Chase.objects.active().filter(order=OuterRef("order"), pk__gt=OuterRef("pk"))
    given = Promise.objects.active().filter(
        line=OuterRef("pk"),
        latest__isnull=False,
        given_on__gte=OuterRef(OuterRef("on")),
        recorded_at__gt=OuterRef(OuterRef("recorded_at")),
    )
    unsettled = OrderLine.objects.to_come().filter(~Exists(given), order=OuterRef("order"))
    return Chase.objects.active().filter(~Exists(later), Exists(unsettled), ask_again_on__isnull=False)


def chases_of(person: User) -> QuerySet[Chase]:
    """Open askings that are somebody's: of their own, or of orders that they placed; the owner's are everybody's."""
    rows = open_askings()
    if OWNER in roles_of(person):
        return rows
    return rows.filter(Q(person=person) | Q(order__ordered_by=person))


def to_ask(person: User, today: date) -> QuerySet[Chase]:
    """Chases whose day to ask again has come."""
    rows = chases_of(person).filter(ask_again_on__lte=today)
    return rows.select_related("order__supplier").order_by("ask_again_on", "pk")
