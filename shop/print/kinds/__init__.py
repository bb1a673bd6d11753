"""The kinds of sheet that the shop prints, found by looking into this folder.

A new kind is a file here with a ``KIND``, and its two functions: one reads the facts, one lays them out. Permission,
numbering, keeping and pages follow.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cache
from importlib import import_module
from pkgutil import iter_modules
from typing import Any

from django.db import models

from shop.print.facts import Heading
from specs.engine.units import System

Read = Callable[[Any, Heading, System, date], Any]


@dataclass(frozen=True)
class SheetKind:
    """One kind of sheet: what it is of, how its facts are read, and how they are drawn on a paper.

    prefix: starts its numbers. subject: the field of PrintedSheet that holds what it is of. only_for: the calculation
    of the worksheets that it can be printed of, where that is not any.
    """

    name: str
    title: str
    prefix: str
    subject: str
    model: type[models.Model]
    facts: type[Any]
    read: Read
    draw: Callable[[Any, str], bytes]
    papers: tuple[str, ...] = ("A4", "Letter")
    only_for: str = ""


@cache
def sheet_kinds() -> dict[str, SheetKind]:
    """Every kind of sheet by its name, in the order of their titles."""
    found = [import_module(f"{__name__}.{module.name}").KIND for module in iter_modules(__path__)]
    return {kind.name: kind for kind in sorted(found, key=lambda kind: kind.title)}
