"""Places of numbers in Inputs and Outputs: "clamp_force", "speeds.0" in a list, "contributors.2.nominal" in rows."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator
from typing import Any


def paths(given: Any, prefix: str = "") -> Iterator[str]:
    """List every path of Inputs that holds a float: what a tolerance, or a dimension, can be set on."""
    for name, value in vars(given).items():
        if isinstance(value, float):
            yield prefix + name
        elif isinstance(value, tuple):
            yield from _list_paths(f"{prefix}{name}.", value)


def _list_paths(prefix: str, entries: tuple[Any, ...]) -> Iterator[str]:
    for at, entry in enumerate(entries):
        if isinstance(entry, float):
            yield f"{prefix}{at}"
        elif dataclasses.is_dataclass(entry):
            yield from paths(entry, f"{prefix}{at}.")


def value_at(given: Any, path: str) -> Any:
    """Give the value at a path of Inputs, or None where there is none."""
    return value_of(given, path.split("."))


def value_of(given: Any, parts: Iterable[str]) -> Any:
    """Give the value at the parts of a path, or None where there is none."""
    for part in parts:
        try:
            given = given[int(part)] if isinstance(given, tuple) else getattr(given, part)
        except (AttributeError, IndexError, ValueError):
            return None
    return given


def shifted(given: Any, path: str, by: float) -> Any:
    """Give the same Inputs with the value at a path moved by `by` (SI). Raises KeyError for a path it does not have."""
    name, *rest = path.split(".")
    try:
        value = getattr(given, name)
        return dataclasses.replace(given, **{name: _shifted_value(value, rest, by)})
    except (AttributeError, IndexError, TypeError, ValueError):
        raise KeyError(path) from None


def _shifted_value(value: Any, rest: list[str], by: float) -> Any:
    if not rest:
        return value + by
    at, *deeper = rest
    entries = list(value)
    entries[int(at)] = shifted(entries[int(at)], ".".join(deeper), by) if deeper else entries[int(at)] + by
    return tuple(entries)
