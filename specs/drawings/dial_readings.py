"""A dial's readings round the circle that it was swept on, enlarged, with the circle that fits them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import cos, pi, radians, sin

from specs.drawings.annotation import Arrow, CentreMark
from specs.drawings.primitives import Circle, Item, Line, Polyline, Role, Text, Tone
from specs.geometry.sweep import DialSweep

_RADIUS = 34.0
_SWING = 12.0
_LETTERS = 4.0


def dial_readings(fit: DialSweep, figures: Sequence[str], lines: Sequence[str]) -> list[Item]:
    """Draw each stop with its figure, the fitted circle, the arrow to the high reading, and lines of words below."""
    reach = max([abs(reading - fit.mean) for reading in fit.readings] + [fit.offset])
    scale = _SWING / reach if fit.total_indicated else 0.0
    turn = map(radians, range(0, 360, 5))
    foot = -_RADIUS - _SWING - 22
    return [
        Circle((0, 0), _RADIUS, role=Role.CENTRE),
        CentreMark((0, 0), _RADIUS + _SWING + 4),
        Polyline(
            tuple(_at(angle, _RADIUS + scale * (fit.at(angle) - fit.mean)) for angle in turn),
            closed=True,
            role=Role.ENGINE,
        ),
        *(
            item
            for angle, reading, figure in zip(fit.angles, fit.readings, figures, strict=True)
            for item in _stop(angle, scale * (reading - fit.mean), figure)
        ),
        *_high(fit),
        *(Text((0, foot - 7 * at), line, _LETTERS, "middle") for at, line in enumerate(lines)),
    ]


def _at(angle: float, radius: float) -> tuple[float, float]:
    """A place clockwise from the top."""
    return radius * sin(angle), radius * cos(angle)


def _stop(angle: float, out: float, figure: str) -> Iterator[Item]:
    spot = _at(angle, _RADIUS + out)
    yield Line(_at(angle, _RADIUS), spot, role=Role.DIMENSION)
    yield Circle(spot, 1.4, Tone.SOLID, role=Role.OUTLINE)
    x, y = _at(angle, _RADIUS + _SWING + 7)
    anchor = "middle" if abs(sin(angle)) < 0.3 else "start" if sin(angle) > 0 else "end"
    yield Text((x, y - _LETTERS / 2), figure, _LETTERS, anchor)


def _high(fit: DialSweep) -> tuple[Item, ...]:
    if not fit.offset:
        return ()
    # Of both sides of the arrow, the one farther from the centre lines.
    beside = min((fit.direction + turn for turn in (-0.55, 0.55)), key=lambda angle: abs(angle % (pi / 2) - pi / 4))
    x, y = _at(beside, 0.62 * _RADIUS)
    words = Text((x, y - _LETTERS / 2), "high", _LETTERS, "middle", role=Role.ENGINE)
    return Arrow((0, 0), _at(fit.direction, _RADIUS - 4), role=Role.ENGINE), words
