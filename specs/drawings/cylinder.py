"""A hydraulic cylinder cut along its bore, with its piston and its fluid."""

from __future__ import annotations

from collections.abc import Iterator

from specs.drawings.primitives import Item, Point, Polyline, Role, Tone
from specs.drawings.sections import box, cut, uncut

_WALL, _PISTON = 3.0, 6.0  # mm


def cylinder(low: Point, high: Point, piston: float, *, fluid_left: bool = False) -> Iterator[Item]:
    """Draw the walls hatched, the piston whole; the fluid fills the bore from the piston to the right, or to the left.

    low, high: corners of the bore [mm]; piston: where its wet face stands.
    """
    (left, bottom), (right, top) = low, high
    closed = (left - _WALL, left) if fluid_left else (right, right + _WALL)
    for wall in ((bottom - _WALL, bottom), (top, top + _WALL)):
        yield from cut(box(left, right, *wall))
    yield from cut(box(*closed, bottom - _WALL, top + _WALL))
    wet = (left, piston) if fluid_left else (piston, right)
    yield Polyline(box(*wet, bottom, top), closed=True, fill=Tone.ENGINE, role=Role.ENGINE)
    yield uncut(box(*((piston, piston + _PISTON) if fluid_left else (piston - _PISTON, piston)), bottom, top))
