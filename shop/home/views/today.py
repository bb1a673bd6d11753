"""The first page."""

from dataclasses import replace

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import get_language, gettext

from shop.base import written
from shop.base.access import SignedIn, reads
from shop.base.language import word
from shop.base.panels import Block, Panel, block, panels, viewer
from shop.home.first_run import PANEL as FIRST_RUN
from specs.phrase import listed

Shown = list[tuple[Panel, Block]]


@reads()
def today(request: SignedIn) -> HttpResponse:
    """What needs doing today, by the reader's roles: blocks over the whole width, then two columns."""
    reader = viewer(request.user.pk, timezone.localdate(), get_language() or "")
    found = [(panel, block(panel, reader)) for panel in panels() if panel.is_for(reader)]
    shown = [(panel, rows) for panel, rows in found if rows]
    across = [(panel, rows) for panel, rows in shown if panel.across]
    middle = [(panel, rows) for panel, rows in shown if not panel.across and not panel.aside]
    aside, foot = _level(middle, [(panel, rows) for panel, rows in shown if panel.aside])
    if FIRST_RUN not in [panel for panel, _ in across]:
        middle = _with_a_first_act(middle, aside + foot)
    context = {
        "title": gettext("Today"),
        "day": written.weekday(reader.today),
        "today": reader.today,
        "roles": listed(sorted(map(word, reader.roles))),
        "across": across,
        "middle": middle,
        "aside": aside,
        "foot": foot,
    }
    return render(request, "home/today.html", context)


def _level(middle: Shown, aside: Shown) -> tuple[Shown, Shown]:
    """The narrow column, and what of its end stands at the foot of the other, so that both are alike in length."""
    kept = len(aside)
    while kept > 1 and _length(middle) + _length(aside[kept - 1 :]) <= _length(aside[: kept - 1]):
        kept -= 1
    return aside[:kept], aside[kept:]


def _length(column: Shown) -> int:
    return sum(2 + len(rows.rows) for _, rows in column)


def _with_a_first_act(middle: Shown, others: Shown) -> Shown:
    """The wide column with one act filled, which is what to do first: its topmost, where no block says so itself."""
    if any(row.first for _, rows in middle + others for row in rows.rows):
        return middle
    for at, (panel, found) in enumerate(middle):
        acts = [place for place, row in enumerate(found.rows) if row.act]
        if acts:
            rows = tuple(replace(row, first=place == acts[0]) for place, row in enumerate(found.rows))
            return [*middle[:at], (panel, replace(found, rows=rows)), *middle[at + 1 :]]
    return middle
