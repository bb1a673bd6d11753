"""The blocks of the first page.

Each area declares its own in ``shop/<area>/panels.py``: a title, where it stands, a template, and a function that reads
what the template shows (today is an argument; an empty answer is shown as well, as what to do next)::

    PANELS = [Panel("Late orders", order=20, template="orders/_panel_late.html", read=late_orders)]
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cache
from typing import Any

from shop.base.declared import declared


@dataclass(frozen=True)
class Panel:
    """A block of the first page; ``read(person, today)`` gives the template's context."""

    title: str
    order: int
    template: str
    read: Callable[[Any, date], dict[str, Any]]


@cache
def panels() -> tuple[Panel, ...]:
    """Every panel that the areas declare, in order."""

    return tuple(sorted(declared("panels", "PANELS"), key=lambda panel: panel.order))
