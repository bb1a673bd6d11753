"""An input shaft in its pilot bearing and disc hub, cut along the axis: places count back from the engine's face."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Item, Line, Polyline, Role, Stroke, Text, Tone
from specs.drawings.sections import LETTERS, axis, box, cut, cut_ring, uncut
from specs.phrase import phrase

_LONG = 132.0
# Heights that nobody asks for [mm]: nose, spline, shaft, bore of hub and bearing, and what stands round them.
_NOSE, _SPLINE, _HUB, _CRANK, _FACE = 5.0, 8.0, 15.0, 22.0, 36.0
_LEAST = 1.0

Span = tuple[float, float]


@dataclass(frozen=True)
class ShaftInPilot:
    """Spans [any unit] behind the engine's rear face; words, fails: of pilot, nose and spline."""

    plate: float
    gearbox_face: float
    flywheel_face: float
    pilot: Span
    hub: Span
    spline: Span
    nose: float
    words: tuple[str, str, str]
    fails: tuple[bool, bool, bool] = (False, False, False)

    @property
    def scale(self) -> tuple[float, float]:
        """Where the leftmost thing lies, and millimetres a unit."""
        places = [
            0.0,
            self.plate,
            self.gearbox_face,
            self.flywheel_face,
            *self.pilot,
            *self.hub,
            *self.spline,
            self.nose,
        ]
        return min(places), _LONG / (max(places) - min(places) or 1.0)


def shaft_in_pilot(shown: ShaftInPilot) -> Iterator[Item]:
    """Draw crank and flywheel, bearing, hub, plate and housing cut; the shaft, which is not, in front of them."""
    least, scale = shown.scale

    def at(place: float) -> float:
        return (place - least) * scale + 14

    def span(one: Span) -> Span:
        return at(one[0]), max(at(one[1]), at(one[0]) + _LEAST)

    bottom, face, rear = at(shown.pilot[0]), at(shown.flywheel_face), max(at(shown.gearbox_face), at(shown.plate))
    yield from cut(box(bottom - 10, bottom, -_SPLINE, _SPLINE), 135)
    yield from cut_ring(bottom - 10, max(face, bottom + _LEAST), _SPLINE, _CRANK, 135)
    yield from cut_ring(*span(shown.pilot), _NOSE, _SPLINE)
    yield from cut_ring(*span(shown.hub), _SPLINE, _HUB)
    for low, high in ((_FACE, _FACE + 8), (-_FACE - 8, -_FACE)):
        yield from cut(box(at(0), max(at(shown.plate), at(0) + _LEAST), low, high), 135)
        if shown.gearbox_face > shown.plate:
            yield from cut(box(at(shown.plate), rear, low, high))
    nose = at(shown.nose)
    misses = (
        span(shown.pilot),
        span((min(shown.pilot[0], shown.nose), max(shown.pilot[0], shown.nose))),
        span(shown.hub),
    )
    heights = ((-_SPLINE, _SPLINE), (-_NOSE, _NOSE), (_SPLINE, _HUB))
    for fails, along, across in zip(shown.fails, misses, heights, strict=True):
        if fails:
            yield Polyline(box(*along, *across), closed=True, fill=Tone.CLASH, role=Role.CLASH)
    yield from _shaft(nose, span(shown.spline), rear)
    yield axis(4, rear + 10)
    yield from _told(shown, at(0), at(shown.flywheel_face), rear)


def _shaft(nose: float, spline: Span, rear: float) -> Iterator[Item]:
    """The nose, the full spline with its root as thin lines, and the shaft behind it: none of it hatched."""
    begin, end = max(spline[0], nose), max(spline[1], nose)
    yield uncut(box(nose, max(begin, nose + _LEAST), -_NOSE, _NOSE))
    yield uncut(box(begin, max(end, begin + _LEAST), -_SPLINE, _SPLINE))
    for y in (-_SPLINE + 1.6, _SPLINE - 1.6):
        yield Line((begin, y), (max(end, begin + _LEAST), y), stroke=Stroke.NARROW)
    if rear + 6 > end:
        yield uncut(box(end, rear + 6, -_SPLINE - 1.5, _SPLINE + 1.5))


def _told(shown: ShaftInPilot, engine: float, flywheel: float, gearbox: float) -> Iterator[Item]:
    yield _datum(engine, -_FACE - 12, _FACE + 18)
    yield Text((engine + 2, _FACE + 13), phrase("engine's rear face"), LETTERS)
    yield _datum(gearbox, -_FACE - 12, _FACE + 24)
    yield Text((gearbox - 2, _FACE + 20), phrase("gearbox face"), LETTERS, "end")
    yield _datum(flywheel, -_FACE - 20, -_CRANK)
    yield Text((flywheel + 2, -_FACE - 19), phrase("flywheel face"), LETTERS)
    for row, words in enumerate(shown.words):
        yield Text((2, -_FACE - 31 - row * 7), words, LETTERS)


def _datum(x: float, low: float, high: float) -> Line:
    return Line((x, low), (x, high), role=Role.CENTRE, stroke=Stroke.CHAIN)
