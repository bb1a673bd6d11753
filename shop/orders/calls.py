"""One call with a supplier, written down at once: what was said, the new dates, when to ask again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from django.contrib.auth.models import User
from django.db import transaction
from django.utils.translation import gettext, ngettext

from shop.base.written import written_as_usual
from shop.orders.changes import record_chase, record_promise
from shop.orders.models import Chase, OrderLine
from shop.orders.text import day


@written_as_usual()
def _new_dates(dates: Mapping[date, Sequence[OrderLine]], today: date) -> str:
    given = (
        ngettext("{number} line for {day}", "{number} lines for {day}", len(lines)).format(
            number=len(lines), day=day(on, today)
        )
        for on, lines in sorted(dates.items())
    )
    return gettext("new date: {given}").format(given=", ".join(given))


@transaction.atomic
def record_call(
    chase: Chase, *, dates: Mapping[date, Sequence[OrderLine]], said_by: str = "", person: User, today: date
) -> Chase:
    """Keep a call with the dates that were given in it. Dates are an answer, whether its words were typed or not."""
    if dates and not chase.answer:
        chase.answer = _new_dates(dates, today)
    if chase.answer and not chase.answered_on:
        chase.answered_on = chase.on
    for on, lines in dates.items():
        record_promise(
            lines=lines,
            given_on=chase.answered_on or chase.on,
            earliest=on,
            latest=on,
            words="",
            said_by=said_by,
            how=chase.how,
            person=person,
            today=today,
        )
    # After the dates: a day to ask again that was agreed in the same call is not settled by them.
    return record_chase(chase=chase, person=person, today=today)
