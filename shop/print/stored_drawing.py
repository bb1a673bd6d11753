"""Drawings as plain values and back, so that a printed sheet keeps the picture it was printed with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, fields
from typing import Any

from specs.drawings.primitives import Arc, Circle, Drawing, Extent, Line, Polyline, Role, Shape, Stroke, Text, Tone

_SHAPES: dict[str, type[Any]] = {shape.__name__: shape for shape in (Line, Polyline, Circle, Arc, Text)}


def freeze_drawing(drawing: Drawing) -> dict[str, Any]:
    """A drawing as JSON values: its shapes in order, its bounds, its words."""
    return {
        "title": drawing.title,
        "description": drawing.description,
        "bounds": asdict(drawing.bounds),
        "shapes": [{"shape": type(shape).__name__, **asdict(shape)} for shape in drawing.shapes],
    }


def thaw_drawing(kept: Mapping[str, Any]) -> Drawing:
    """A drawing back from its JSON values."""
    shapes = [_shape(dict(entry)) for entry in kept["shapes"]]
    return Drawing(kept["title"], kept["description"], shapes, Extent(**kept["bounds"]))


def _shape(entry: dict[str, Any]) -> Shape:
    kind = _SHAPES[entry.pop("shape")]
    read = {"role": Role, "stroke": Stroke, "fill": Tone}
    known = {field.name for field in fields(kind)}
    values = {
        name: read[name](value) if name in read and value is not None else _points(value)
        for name, value in entry.items()
        if name in known
    }
    return kind(**values)


def _points(value: Any) -> Any:
    return tuple(_points(entry) for entry in value) if isinstance(value, (list, tuple)) else value
