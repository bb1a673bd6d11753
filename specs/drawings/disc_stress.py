"""A picture of half a disc's section, and below it how two stresses run from its bore to its rim."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from specs.drawings.annotation import hatch
from specs.drawings.primitives import Item, Line, Point, Polyline, Role, Stroke, Text, Tone

_RADIUS = 110.0
_LEFT = 12.0
_STRESS = 42.0
_SECTION = 10.0
_LETTERS = 4.2


@dataclass(frozen=True)
class DiscStress:
    """Radii from bore to rim, hoop and radial stress at each (any units), and the words beside the curves."""

    radii: Sequence[float]
    hoop: Sequence[float]
    radial: Sequence[float]
    at_bore: str
    at_rim: str
    axis: str


def disc_stress(disc: DiscStress) -> Iterator[Item]:
    """Draw the section and both curves; the hoop stress at the bore, the greatest of all, fills the height."""
    hoop, radial = _curve(disc, disc.hoop), _curve(disc, disc.radial)
    inner = hoop[0][0]
    yield from _section(inner)
    yield Line((_LEFT, 0), (_LEFT + _RADIUS + 4, 0), role=Role.DIMENSION)
    yield Polyline(hoop, role=Role.ENGINE)
    yield Polyline(radial, role=Role.GEARBOX)
    yield Text((inner, hoop[0][1] + 2), disc.at_bore, _LETTERS)
    yield Text((_LEFT + _RADIUS + 6, hoop[-1][1] - 2), disc.at_rim, _LETTERS)
    yield Text((_LEFT + _RADIUS + 6, -2), "radial", _LETTERS)
    yield Text((_LEFT + _RADIUS / 2, -7), disc.axis, _LETTERS, "middle")


def _curve(disc: DiscStress, stress: Sequence[float]) -> tuple[Point, ...]:
    across, up = _RADIUS / disc.radii[-1], _STRESS / disc.hoop[0]
    return tuple((_LEFT + radius * across, value * up) for radius, value in zip(disc.radii, stress, strict=True))


def _section(inner: float) -> Iterator[Item]:
    low, high, rim = _STRESS + 18, _STRESS + 18 + _SECTION, _LEFT + _RADIUS
    corners = ((inner, low), (rim, low), (rim, high), (inner, high))
    yield Polyline(corners, closed=True, fill=Tone.METAL)
    yield from hatch(corners, 4.0)
    yield Line((_LEFT, -2), (_LEFT, high + 6), role=Role.CENTRE, stroke=Stroke.CHAIN)
    yield Text((_LEFT, high + 8), "axis", _LETTERS, "middle")
    for x in {inner, rim}:
        yield Line((x, low), (x, 0), role=Role.GRID)
