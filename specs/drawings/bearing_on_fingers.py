"""A release bearing before the fingers of its clutch, cut along the axis: places count back from the engine's face."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Item, Line, Polyline, Role, Stroke, Text, Tone
from specs.drawings.sections import LETTERS, along, axis, box, cut, uncut
from specs.phrase import phrase

_LONG = 128.0
_GUIDE, _BEARING, _TIP, _COVER, _FACE = 7.0, 16.0, 11.0, 34.0, 46.0
_LEAST = 1.0


@dataclass(frozen=True)
class BearingOnFingers:
    """Places [any unit] behind the engine's rear face: fingers new, worn and released; the bearing's face, moved.

    gap, fails: words of the gap, and whether a check of it fails; falls_short: whether that of the stroke does.
    """

    plate: float
    gearbox_face: float
    fingers: float
    worn: float
    released: float
    bearing: float
    driven: float
    gap: str
    fails: bool
    falls_short: bool = False


def bearing_on_fingers(shown: BearingOnFingers) -> Iterator[Item]:
    """Draw cover and fingers, plate and housing cut, the guide and bearing whole, and the gap between them."""
    places = [
        0.0,
        shown.plate,
        shown.gearbox_face,
        shown.fingers,
        shown.worn,
        shown.released,
        shown.bearing,
        shown.driven,
    ]
    least, scale = min(places), _LONG / (max(places) - min(places) or 1.0)

    def at(place: float) -> float:
        return (place - least) * scale + 6

    rear, face = at(shown.gearbox_face), at(shown.bearing)
    for side in (1, -1):
        low, high = sorted((side * _FACE, side * (_FACE + 8)))
        yield from cut(box(at(0), max(at(shown.plate), at(0) + _LEAST), low, high), 135)
        if shown.gearbox_face > shown.plate:
            yield from cut(box(at(shown.plate), max(rear, at(shown.plate) + _LEAST), low, high))
        yield from _finger(at(shown.fingers), side)
        for place in (shown.worn, shown.released):
            yield Line(_root(at(shown.fingers), side), (at(place), side * _TIP), role=Role.HIDDEN, stroke=Stroke.DASHED)
        yield uncut(box(face, max(rear, face + 6), *sorted((side * _GUIDE, side * _BEARING))))
        yield Line((at(shown.driven), side * _GUIDE), (at(shown.driven), side * _BEARING), role=Role.HIDDEN)
    yield uncut(box(min(face, at(shown.driven)) - 4, max(rear, face + 6) + 8, -_GUIDE, _GUIDE))
    yield axis(0, max(rear, face + 6) + 12)
    yield from _told(shown, at(shown.fingers), face)
    yield Line((at(0), -_FACE - 12), (at(0), _FACE + 14), role=Role.CENTRE, stroke=Stroke.CHAIN)
    yield Text((at(0), _FACE + 16), phrase("engine's rear face"), LETTERS)
    yield Line((rear, -_FACE - 12), (rear, _FACE + 14), role=Role.CENTRE, stroke=Stroke.CHAIN)
    yield Text((rear, _FACE + 16), phrase("gearbox's face"), LETTERS, "end")
    if shown.falls_short:
        end = at(shown.driven)
        yield Polyline(box(end, end + 1.5, _GUIDE, _BEARING), closed=True, fill=Tone.CLASH, role=Role.CLASH)


def _root(tip: float, side: int) -> tuple[float, float]:
    return tip - 9.0, side * _COVER


def _finger(tip: float, side: int) -> Iterator[Item]:
    """One finger from the cover's rim to its tip; the diaphragm is cut, and too thin to be hatched."""
    yield Polyline((_root(tip, side), (tip, side * _TIP)), role=Role.ENGINE)
    yield Polyline((_root(tip, side), (tip - 15.0, side * (_COVER + 3))), role=Role.ENGINE)


def _told(shown: BearingOnFingers, tip: float, face: float) -> Iterator[Item]:
    left, right = sorted((tip, face))
    yield along(left, max(right, left + _LEAST), -_BEARING, shown.gap, -_FACE + _BEARING - 20)
    if shown.fails:
        yield Polyline(box(left, max(right, left + _LEAST), -_TIP, _TIP), closed=True, fill=Tone.CLASH, role=Role.CLASH)
