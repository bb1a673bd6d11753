"""What areas declare, found by looking: nobody edits a central list."""

from collections.abc import Iterator
from importlib import import_module
from types import ModuleType
from typing import Any

from django.apps import apps
from django.utils.module_loading import module_has_submodule

DECLARATIONS = ("bulk", "dependents", "long_work", "menu", "panels", "search", "undo")
"""The files that nothing else reads."""


def load_declarations() -> None:
    """Read all that areas declare, once before a process divides: no part of it keeps a copy of its own."""
    for module in DECLARATIONS:
        for _ in _files(module):
            pass


def declared(module: str, name: str) -> Iterator[Any]:
    """Every entry of the list called `name` in each area's file `module`, such as MENU in menu.py."""
    for file in _files(module):
        yield from getattr(file, name, ())


def _files(module: str) -> Iterator[ModuleType]:
    for app in apps.get_app_configs():
        if app.name.startswith("shop.") and module_has_submodule(app.module, module):
            yield import_module(f"{app.name}.{module}")
