"""What changed since it was accepted, for the first page."""

from __future__ import annotations

from typing import cast

from django.urls import reverse
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import FITTER, MACHINIST, OWNER
from shop.base.rows import Row
from shop.people.models import preferences_of
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.text import status_text
from shop.worksheets.today import changed_since_accepted
from specs.engine.units import System

MOST = 6


def went_out_of_date(reader: Viewer) -> Block:
    """The accepted worksheets that today's readings or method no longer bear out, in a constant number of queries."""
    system = cast(System, preferences_of(reader.person).units)
    stale = changed_since_accepted(reader.today)
    return Block(
        tuple(changed_row(state, system) for state in stale[:MOST]),
        len(stale),
        gettext("No worksheet changed since it was accepted."),
        (reverse("worksheets:worksheets-changed"), gettext("All")) if stale else None,
    )


def changed_row(state: EvaluatedWorksheet, system: System) -> Row:
    """The worksheet, what changed first, and what that did to the result that moved."""
    text, at = status_text(state, system), state.worksheet.get_absolute_url()
    more = gettext(", and {causes} more").format(causes=len(text.causes) - 1) if len(text.causes) > 1 else ""
    note = f"{text.causes[0].label}{more}" if text.causes else text.headline
    figure, under = (text.results[0].now, str(text.results[0].label).lower()) if text.results else ("", "")
    if text.fails:
        figure, under = gettext("fails"), ""
    return Row("check", state.worksheet.title, at, note, figure, under, red=text.fails, act=gettext("Review"), to=at)


PANELS = [
    Panel(
        gettext_lazy("Changed since accepted"),
        order=30,
        read=went_out_of_date,
        roles=frozenset({FITTER, MACHINIST, OWNER}),
        aside=True,
    )
]
