"""The blocks of the first page.

Each area declares its own in ``shop/<area>/panels.py``: a title, where it stands, a template, and a function that reads
what the template shows (today is an argument; an empty answer is shown as well, as what to do next)::

    PANELS = [Panel("Late orders", order=20, template="orders/panel_late.html", read=late_orders)]
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import import_module
from typing import Any

from django.apps import apps
from django.utils.module_loading import module_has_submodule


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
    found = [
        panel
        for app in apps.get_app_configs()
        if app.name.startswith("shop.") and module_has_submodule(app.module, "panels")
        for panel in getattr(import_module(f"{app.name}.panels"), "PANELS", ())
    ]
    return tuple(sorted(found, key=lambda panel: panel.order))
