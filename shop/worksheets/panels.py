"""What went out of date, for the first page."""

from __future__ import annotations

from datetime import date
from typing import Any, cast

from shop.base.panels import Panel
from shop.people.models import preferences_of
from shop.worksheets.evaluation import out_of_date, worksheet_states
from shop.worksheets.models import Worksheet
from shop.worksheets.text import status_text
from specs.engine.units import System

MOST = 6


def went_out_of_date(person: Any, today: date) -> dict[str, Any]:
    """The accepted worksheets that today's readings or method no longer bear out, in a constant number of queries."""
    system = cast(System, preferences_of(person).units)
    accepted = Worksheet.objects.for_states().active().filter(accepted__isnull=False).distinct()
    stale = out_of_date(worksheet_states(accepted))
    return {"stale": [(state, status_text(state, system)) for state in stale[:MOST]], "more": len(stale) - MOST}


PANELS = [Panel("Changed since accepted", order=30, template="worksheets/_panel_changed.html", read=went_out_of_date)]
