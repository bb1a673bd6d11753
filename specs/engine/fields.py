"""What is declared of one input or output, where its number stands in Inputs and Outputs, and the ± it may carry.

A place is a path: "clamp_force", "speeds.0" in a list, "contributors.2.nominal" in rows.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from specs.phrase import phrase
from specs.written import num

if TYPE_CHECKING:
    from specs.engine.units import Kind

# Marks an input without a default: None is a default that a declaration may mean.
REQUIRED: Any = object()


@dataclass(frozen=True)
class Bounds:
    """Open (above, below) and closed (at_least, at_most) limits of a number, in the contract's unit."""

    above: float | None = None
    at_least: float | None = None
    below: float | None = None
    at_most: float | None = None

    def broken_by(self, value: float) -> str | None:
        """Say which limit a value (contract's unit) breaks, as "must be more than 0", or None."""
        if self.above is not None and value <= self.above:
            return phrase("must be more than {num}", num=num(self.above))
        if self.at_least is not None and value < self.at_least:
            return phrase("must be at least {num}", num=num(self.at_least))
        if self.below is not None and value >= self.below:
            return phrase("must be less than {num}", num=num(self.below))
        if self.at_most is not None and value > self.at_most:
            return phrase("must be at most {num}", num=num(self.at_most))
        return None


@dataclass(frozen=True)
class Field:
    """The declaration of one input or output.

    form: "quantity", "whole", "choice", "text", "quantities", "numbers", "names", "pairs" or "records".
    default: in the contract's units; REQUIRED where the person must give it.
    group: the heading under which a form shows it.
    row: for "records", the frozen dataclass of one row, declared with the same functions.
    """

    form: str
    label: str
    kind: Kind | None = None
    symbol: str = ""
    help: str = ""
    group: str = ""
    bounds: Bounds = Bounds()
    default: Any = REQUIRED
    optional: bool = False
    options: tuple[str, ...] = ()
    at_least: int = 0
    row: type | None = None
    name: str = ""

    @property
    def required(self) -> bool:
        """Whether a request without this input is refused."""
        return self.default is REQUIRED and not self.optional


_FIELDS: dict[type, Mapping[str, Field]] = {}


def fields_of(declared: type) -> Mapping[str, Field]:
    """Give the declarations of an Inputs, Outputs or row dataclass by name, in order; others are left out."""
    if declared not in _FIELDS:
        items = [item for item in dataclasses.fields(declared) if "declared" in item.metadata]
        named = {item.name: dataclasses.replace(item.metadata["declared"], name=item.name) for item in items}
        _FIELDS[declared] = MappingProxyType(named)
    return _FIELDS[declared]


@dataclass(frozen=True)
class Tolerance:
    """The ± of one input [SI].

    limits: uniform between the ends, not normal. reading: a key that inputs from one reading share, or empty.
    """

    half: float
    limits: bool = False
    reading: str = ""


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
    for part in path.split("."):
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


def flatten(request: Mapping[str, Any]) -> dict[str, Any]:
    """Lay a request flat: one entry a leaf, by path."""
    flat: dict[str, Any] = {}
    for name, value in request.items():
        flat.update(_leaves(name, value))
    return flat


def _leaves(path: str, value: Any) -> Iterable[tuple[str, Any]]:
    if isinstance(value, Mapping):
        for name, entry in value.items():
            yield from _leaves(f"{path}.{name}", entry)
    elif isinstance(value, (list, tuple)):
        for at, entry in enumerate(value):
            yield from _leaves(f"{path}.{at}", entry)
    else:
        yield path, value


def nest(flat: Mapping[str, Any]) -> dict[str, Any]:
    """Build a request from values by path. Entries of a list keep their order; numbers left out close up."""
    tree: dict[str, Any] = {}
    for path, value in flat.items():
        *parents, leaf = path.split(".")
        branch = tree
        for part in parents:
            held = branch.setdefault(part, {})
            branch = held if isinstance(held, dict) else branch
        branch[leaf] = value
    return {name: _lists(value) for name, value in tree.items()}


def _lists(value: Any) -> Any:
    if not isinstance(value, dict):
        return value
    inner = {name: _lists(entry) for name, entry in value.items()}
    if inner and all(name.isdigit() for name in inner):
        return [inner[name] for name in sorted(inner, key=int)]
    return inner


def field_at(declared: type, path: str) -> Field | None:
    """The declaration of the value at a path; None where Inputs have no such value."""
    name, *rest = path.split(".")
    field = fields_of(declared).get(name)
    if field is None or not rest:
        return field
    if field.form == "records" and field.row is not None and len(rest) == 2:
        return fields_of(field.row).get(rest[1])
    return field if field.form in ("quantities", "names") and len(rest) == 1 else None


def label_at(declared: type, path: str) -> str:
    """The words for a path: "Clamp force", "Contributors, row 2: nominal"."""
    name, *rest = path.split(".")
    field = fields_of(declared).get(name)
    if field is None:
        return path
    if not rest:
        return field.label
    said = phrase("{label}, row {number}", label=field.label, number=int(rest[0]) + 1)
    if field.form != "records":
        said = phrase("{label}, entry {number}", label=field.label, number=int(rest[0]) + 1)
    inner = field_at(declared, path)
    return phrase("{place}: {label}", place=said, label=inner.label) if inner and len(rest) > 1 else said
