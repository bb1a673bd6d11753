"""What is still to come, as a row on the page of its supplier or part."""

from __future__ import annotations

from collections.abc import Iterable

from django.urls import reverse
from django.utils.translation import gettext

from shop.base import counted
from shop.base.roles import Person, may
from shop.base.rows import Row
from shop.orders.line_history import ShownLine
from shop.orders.text import count


def awaited_rows(lines: Iterable[ShownLine], person: Person, *, of_one_supplier: bool = False) -> list[Row]:
    """Each line with its order and what it is for, how late it is or when it is promised, and the way to ask.

    The supplier is not named on the page `of_one_supplier`.
    """
    return [_row(shown, may(person, "orders.chase"), of_one_supplier) for shown in lines]


def _row(shown: ShownLine, may_chase: bool, of_one_supplier: bool) -> Row:
    line, need = shown.line, shown.line.part_need
    wanted = f"{need.step.job.vehicle.model}: {need.step}" if need else gettext("for the shelf")
    order = gettext("order {order}").format(order=line.order)
    note = " · ".join([order if of_one_supplier else f"{line.order.supplier}, {order}", wanted])
    name = f"{count(line.quantity)} × {line.what}"
    late = counted.days(shown.late) if shown.late else ""
    under = ", ".join(filter(None, [gettext("late") if late else "", shown.nth]))
    act, to = (gettext("Chase"), reverse("orders:chase-new", args=[line.order_id])) if may_chase else ("", "")
    at = line.get_absolute_url()
    return Row(shown.mark, name, at, note, late or shown.promised, under, red=shown.overdue, act=act, to=to)
