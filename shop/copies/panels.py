"""How old the copy is that would come back today: for the owner."""

from datetime import datetime, timedelta

from django.utils import timezone
from django.utils.translation import gettext

from shop.base import written
from shop.base.language import gettext_lazy
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import OWNER
from shop.base.rows import Row
from shop.copies.record import CLOCK_SLACK, copy_is_overdue, last_failure, last_proof, proven_age


def last_proven_copy(viewer: Viewer) -> Block:
    return Block((_row(timezone.now()),), 1, "")


def _row(now: datetime) -> Row:
    overdue = copy_is_overdue(now)
    age, proven = proven_age(now), last_proof(kind="proven")
    if failed := last_failure():
        note = gettext("Rehearsal of {day} failed: {failure}").format(day=_day(failed.at), failure=failed.failure)
    elif proven is None or age is None:
        note = gettext("No copy has been brought back on trial yet: manage.py backup, then manage.py rehearse")
    elif age < -CLOCK_SLACK:
        note = gettext("It is dated in the future: check this machine's clock")
    elif proven.missing:
        note = gettext(
            "It lacks {missing} files that records name: they were gone from the disk when it was made"
        ).format(missing=proven.missing)
    else:
        note = gettext("Brought back on trial {day}, all equal").format(day=_day(proven.at))
    mark, figure = "late" if overdue else "done", gettext("none") if age is None else _age(age)
    return Row(
        mark, gettext("Last proven copy"), note=note, figure=figure, under="" if age is None else "old", red=overdue
    )


def _age(age: timedelta) -> str:
    days = max(age, timedelta()).days
    return gettext("{days} days").format(days=days) if days > 1 else f"{max(int(age.total_seconds() // 3600), 0)} h"


def _day(moment: datetime) -> str:
    return written.month_day(timezone.localtime(moment))


PANELS = [
    Panel(gettext_lazy("Copies"), order=90, read=last_proven_copy, roles=frozenset({OWNER}), aside=True, moves=True)
]
