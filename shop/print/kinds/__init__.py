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
from django.utils.module_loading import import_string

from shop.print.facts import Heading
from specs.engine.units import System

Read = Callable[[Any, Heading, System, date], Any]
USUAL_PAPERS = ("A4", "Letter")


@dataclass(frozen=True)
class SheetKind:
    """One kind of sheet: what it is of, how its facts are read, and how they are drawn on a paper.

    drawn_by: the function of facts and paper that gives the PDF, as it is imported. prefix: starts its numbers.
    subject: the field of PrintedSheet that holds what it is of. only_for: the calculation of the worksheets that it can
    be printed of, where that is not any.
    """

    name: str
    title: str
    prefix: str
    subject: str
    model: type[models.Model]
    facts: type[Any]
    read: Read
    drawn_by: str
    papers: tuple[str, ...] = USUAL_PAPERS
    only_for: str = ""

    def draw(self, facts: Any, paper: str) -> bytes:
        """Draw a sheet of facts on a paper. What draws is read here: a process that only shows pages never needs it."""
        drawn: bytes = import_string(self.drawn_by)(facts, paper)
        return drawn


@cache
def sheet_kinds() -> dict[str, SheetKind]:
    """Every kind of sheet by its name, in the order of their titles."""
    found = [import_module(f"{__name__}.{module.name}").KIND for module in iter_modules(__path__)]
    return {kind.name: kind for kind in sorted(found, key=lambda kind: kind.title)}
