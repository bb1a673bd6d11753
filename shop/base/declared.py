"""What areas declare, found by looking: nobody edits a central list."""

from collections.abc import Iterator
from importlib import import_module
from typing import Any

from django.apps import apps
from django.utils.module_loading import module_has_submodule


def declared(module: str, name: str) -> Iterator[Any]:
    """Every entry of the list called `name` in each area's file `module`, such as MENU in menu.py."""
    for app in apps.get_app_configs():
        if app.name.startswith("shop.") and module_has_submodule(app.module, module):
            yield from getattr(import_module(f"{app.name}.{module}"), name, ())
