"""Input paths: a nested request laid flat ("contributors.0.nominal") and built up again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from specs.engine.calculation import Calculation
from specs.engine.fields import Field, fields_of


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


def field_at(calculation: Calculation[Any, Any], path: str) -> Field | None:
    """The declaration of the value at a path; None where the calculation has no such input."""
    name, *rest = path.split(".")
    field = fields_of(calculation.inputs).get(name)
    if field is None or not rest:
        return field
    if field.form == "records" and field.row is not None and len(rest) == 2:
        return fields_of(field.row).get(rest[1])
    return field if field.form in ("quantities", "names") and len(rest) == 1 else None


def label_at(calculation: Calculation[Any, Any], path: str) -> str:
    """The words for a path: "Clamp force", "Contributors, row 2: nominal"."""
    name, *rest = path.split(".")
    field = fields_of(calculation.inputs).get(name)
    if field is None:
        return path
    if not rest:
        return field.label
    place = f"{field.label}, {'row' if field.form == 'records' else 'entry'} {int(rest[0]) + 1}"
    inner = field_at(calculation, path)
    return f"{place}: {inner.label}" if inner and len(rest) > 1 else place
