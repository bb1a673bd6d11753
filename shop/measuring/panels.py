"""The block of the first page that asks for a second look at readings."""

from datetime import date
from typing import Any

from shop.base.panels import Panel
from shop.measuring.text import show_dimension
from shop.people.models import preferences_of
from specs.queries import disputed_dimensions

MOST = 5


def disputed(person: Any, today: date) -> dict[str, Any]:
    """Dimensions whose readings contradict each other, the latest read first."""
    found = disputed_dimensions()
    system = preferences_of(person).system
    return {"dimensions": [show_dimension(each, system) for each in found[:MOST]], "more": max(0, len(found) - MOST)}


PANELS = [Panel("Readings to check", order=70, template="measuring/_panel_disputed.html", read=disputed)]
