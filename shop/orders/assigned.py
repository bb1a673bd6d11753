"""Which lines and chases are somebody's: of orders that the person placed, or for a step that the person does."""

from __future__ import annotations

from datetime import date

from django.contrib.auth.models import User
from django.db.models import Exists, OuterRef, Q, QuerySet

from shop.base.roles import OWNER, roles_of
from shop.orders.models import Chase, OrderLine
from shop.orders.queries import OrderLineQuerySet


def lines_of(person: User) -> OrderLineQuerySet:
    """Lines of which something is to come; the owner's are everybody's."""
    rows = OrderLine.objects.to_come()
    if OWNER in roles_of(person):
        return rows
    return rows.filter(Q(order__ordered_by=person) | Q(part_need__step__person=person))


def chases_of(person: User) -> QuerySet[Chase]:
    """The last chase of each order with something to come, where a day to ask again was set."""
    later = Chase.objects.active().filter(order=OuterRef("order"), pk__gt=OuterRef("pk"))
    orders = OrderLine.objects.to_come().values("order")
    rows = Chase.objects.active().filter(~Exists(later), order__in=orders, ask_again_on__isnull=False)
    if OWNER in roles_of(person):
        return rows
    return rows.filter(Q(person=person) | Q(order__ordered_by=person))


def to_ask(person: User, today: date) -> QuerySet[Chase]:
    """Chases whose day to ask again has come."""
    rows = chases_of(person).filter(ask_again_on__lte=today)
    return rows.select_related("order__supplier").order_by("ask_again_on", "pk")
