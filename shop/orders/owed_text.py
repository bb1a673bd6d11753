"""One row for each thing that a supplier owes."""

from __future__ import annotations

from datetime import date

from django.urls import reverse

from shop.base.money import in_money
from shop.base.roles import Person, may
from shop.base.rows import Row
from shop.orders.credits import Owed
from shop.orders.models import Return
from shop.orders.text import count, plural

LONG = 30
"""Days after which money owed is shown in red; common practice, no source."""


def owed_row(owed: Owed, person: Person, today: date) -> Row:
    """The thing owed, why and by whom; how much, for how many days; the act that settles it."""
    days, line = owed.days(today), owed.event.line
    verb = "returned" if isinstance(owed.event, Return) else "cancelled"
    credit = " · credit note here, money not yet" if owed.noted else ""
    note = f"{owed.order.supplier} · order {owed.order} · {verb}: {owed.event.reason}{credit}"
    red = days > LONG or bool(owed.order.supplier.insolvent_on)
    insolvent = ", supplier insolvent" if owed.order.supplier.insolvent_on else ""
    since = f"owed {plural(days, 'day')}{insolvent}"
    if owed.pieces:
        act, to = _may(person, "orders.chase", "Chase", reverse("orders:chase-new", args=[owed.order.pk]))
        figure = f"{count(owed.pieces)} to replace"
        return Row("waiting", line.what, line.get_absolute_url(), note, figure, since, red=red, act=act, to=to)
    figure = "not known" if owed.money is None else in_money(owed.money, owed.order.currency_code)
    to = owed.event.money_address if owed.money else owed.event.credit_address
    act, to = _may(person, "orders.order", "Record payment" if owed.money else "Add credit note", to)
    mark = "check" if owed.is_unknown else "waiting"
    return Row(mark, line.what, line.get_absolute_url(), note, figure, since, red=red, act=act, to=to)


def _may(person: Person, action: str, act: str, to: str) -> tuple[str, str]:
    return (act, to) if may(person, action) else ("", "")
