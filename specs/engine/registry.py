"""Every calculation by name: found by looking in the folder `specs/calculations/`, never by a list."""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any

import specs.calculations
from specs.engine.calculation import Calculation


@cache
def calculations() -> Mapping[str, Calculation[Any, Any]]:
    """Give all calculations by name, in the alphabet's order."""
    found = {}
    for module in sorted(entry.name for entry in pkgutil.iter_modules(specs.calculations.__path__)):
        name = module.replace("_", "-")
        declared = importlib.import_module(f"specs.calculations.{module}").CALCULATION
        found[name] = dataclasses.replace(declared, name=name)
    return MappingProxyType(found)


def find(name: str) -> Calculation[Any, Any] | None:
    """Give the calculation of that name, or None."""
    return calculations().get(name)
