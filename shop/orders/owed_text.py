"""One row for each thing that a supplier owes."""

from __future__ import annotations

from datetime import date

from django.urls import reverse
from django.utils.translation import gettext, ngettext

from shop.base.money import in_money
from shop.base.roles import Person, may
from shop.base.rows import Row
from shop.orders.credits import Owed
from shop.orders.models import Return
from shop.orders.text import count

LONG = 30
"""Days after which money owed is shown in red; common practice, no source."""


def owed_row(owed: Owed, person: Person, today: date, *, in_short: bool = False) -> Row:
    """The thing owed, why and by whom; how much, for how many days; the act that settles it. In short: not why."""
    days, line = owed.days(today), owed.event.line
    verb = gettext("returned") if isinstance(owed.event, Return) else gettext("cancelled")
    credit = gettext(" · credit note here, money not yet") if owed.noted else ""
    note = gettext("{supplier} · order {order} · {verb}: {reason}{credit}").format(
        supplier=owed.order.supplier, order=owed.order, verb=verb, reason=owed.event.reason, credit=credit
    )
    if in_short:
        note = gettext("{supplier} · order {order}").format(supplier=owed.order.supplier, order=owed.order)
    red = days > LONG or bool(owed.order.supplier.insolvent_on)
    insolvent = gettext(", supplier insolvent") if owed.order.supplier.insolvent_on else ""
    since = ngettext("owed {number} day{insolvent}", "owed {number} days{insolvent}", days).format(
        number=days, insolvent=insolvent
    )
    if owed.pieces:
        act, to = _may(person, "orders.chase", gettext("Chase"), reverse("orders:chase-new", args=[owed.order.pk]))
        figure = gettext("{count} to replace").format(count=count(owed.pieces))
        return Row("waiting", line.what, line.get_absolute_url(), note, figure, since, red=red, act=act, to=to)
    figure = gettext("not known") if owed.money is None else in_money(owed.money, owed.order.currency_code)
    to = owed.event.money_address if owed.money else owed.event.credit_address
    act, to = _may(person, "orders.order", gettext("Record payment") if owed.money else gettext("Add credit note"), to)
    mark = "check" if owed.is_unknown else "waiting"
    return Row(mark, line.what, line.get_absolute_url(), note, figure, since, red=red, act=act, to=to)


def _may(person: Person, action: str, act: str, to: str) -> tuple[str, str]:
    return (act, to) if may(person, action) else ("", "")
