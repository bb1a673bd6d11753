"""What was said about a late line, in one quiet line, and whether to ask about it now."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext, ngettext

from shop.base import counted
from shop.orders.models import Chase, OrderLine
from shop.orders.rules import LineFacts, days_overdue, is_lost, is_silent, silent_days
from shop.orders.text import day, overdue, status_words


def last_chase(line: OrderLine) -> Chase | None:
    """The last time that the shop asked about the line's order. Lines come `with_facts`."""
    return next((chase for chase in reversed(line.order.chases.all()) if chase.counts), None)


def chase_is_due(line: OrderLine, today: date) -> bool:
    """Whether to ask the supplier now: never asked, no day set to ask again, or that day has come."""
    chase = last_chase(line)
    return chase is None or chase.ask_again_on is None or chase.ask_again_on <= today


def confirmed_words(line: OrderLine) -> str:
    """Say whether an order was ever confirmed and dated; "" for a line that has a date. Lines come `with_facts`."""
    if line.promise_count:
        return ""
    order = line.order
    heard = (
        order.confirmed_on
        or order.reference
        or line.promises.all()
        or any(chase.is_answered for chase in order.chases.all())
    )
    return gettext("confirmed, never dated") if heard else gettext("never confirmed")


def state_of(line: OrderLine, today: date) -> tuple[str, str]:
    """The mark and the whole state of a late line: whether it was confirmed, the date promised, the days since."""
    facts = line.as_rule()
    said, confirmed = status_words(facts, today), confirmed_words(line)
    dated = bool(days_overdue(facts, today)) or is_lost(facts)
    return "late" if dated else "waiting", f"{confirmed}; {said}" if confirmed else said


def state_in_short(line: OrderLine, today: date) -> str:
    """ "9 days overdue", or the whole state of a line that no date makes overdue."""
    late = days_overdue(line.as_rule(), today)
    return overdue(late) if late else state_of(line, today)[1]


def said_of(line: OrderLine, today: date) -> str:
    """Who owes the part, how many dates were given, when the shop last asked."""
    chase = last_chase(line)
    asked = gettext("last asked {day}").format(day=day(chase.on, today)) if chase else gettext("never asked")
    return f"{line.order.supplier} · {confirmed_words(line) or dates_given(line.promise_count)} · {asked}"


def dates_given(number: int) -> str:
    """ "no date given", "1 date given", "4 dates given"."""
    return (
        ngettext("{number} date given", "{number} dates given", number).format(number=number)
        if number
        else gettext("no date given")
    )


def how_late(line: LineFacts, today: date) -> tuple[str, str]:
    """ "9 days" and "late", or "40 days" and "silent" where no date stands that could be past."""
    if is_lost(line) and line.supplier_insolvent_on:
        return counted.days((today - line.supplier_insolvent_on).days), gettext("insolvent")
    if not line.promises and not is_silent(line, today):
        return counted.days((today - line.ordered_on).days), gettext("no date given")
    late = days_overdue(line, today)
    if late:
        return counted.days(late), gettext("late")
    return counted.days(silent_days(line, today)), gettext("silent")
