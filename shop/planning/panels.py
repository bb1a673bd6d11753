"""The block of the first page that says what the reader can start on."""

from __future__ import annotations

from datetime import date
from typing import Any

from shop.base.panels import Panel
from shop.base.roles import roles_of
from shop.planning.ready import ready_jobs

MOST = 6


def ready(person: Any, today: date) -> dict[str, Any]:
    """The steps that are ready for the reader, vehicle by vehicle."""
    steps = [(one.job, step) for one in ready_jobs(today, person, roles_of(person)) for step in one.ready]
    return {"steps": steps[:MOST], "more": max(0, len(steps) - MOST)}


PANELS = [Panel("Ready for you", order=10, template="planning/_panel_ready.html", read=ready)]
