"""Moving coordinates to a datum that was constructed on the part, and saying how."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, sin

from specs.geometry.circles import fit_circle
from specs.geometry.points import Point, between, moved, turned
from specs.phrase import phrase


@dataclass(frozen=True)
class Datum:
    """An origin and the direction of its x axis [rad] in the coordinates that were measured in.

    `construction` says in words how it was found, for the drawing and the record.
    """

    origin: Point
    angle: float
    construction: str

    def of(self, point: Point) -> Point:
        """A measured point as seen from this datum."""
        return turned(between(self.origin, point), -self.angle)

    def back(self, point: Point) -> Point:
        """A point of this datum in the coordinates that were measured in."""
        return moved(turned(point, self.angle), self.origin)


def _direction(start: Point, end: Point, what: str) -> float:
    run, rise = between(start, end)
    if run == rise == 0:
        raise ValueError(phrase("{what} lie in one place: they give no direction.", what=what))
    return atan2(rise, run)


def moved_uncertainty(own: float, place: Point, located_by: Sequence[tuple[Point, float]]) -> float:
    """Return how well a place is known in a datum that was constructed from two places which are not exact themselves.

    own: that of the place as read; place: in the new datum; located_by: the places that the datum was constructed from
    in the new datum, with their own. All ± at 95 %, one unit of length. Root sum of squares of the place's own, of the
    origin's and of what the x axis's direction makes at the place: on the safe side for the places themselves.
    """
    origin = hypot(*(known for _, known in located_by)) / max(len(located_by), 1)
    if len(located_by) < 2:
        return hypot(own, origin)
    (one, known_one), (other, known_other) = located_by
    turn = hypot(known_one, known_other) / hypot(*between(one, other))
    return hypot(own, origin, turn * hypot(*place))


def from_dowels(first: Point, second: Point) -> Datum:
    """Origin halfway between two dowels, x from the first to the second."""
    angle = _direction(first, second, phrase("The two dowels"))
    middle = ((first[0] + second[0]) / 2, (first[1] + second[1]) / 2)
    return Datum(middle, angle, phrase("halfway between the two dowels, x from the first to the second"))


def from_flat(first: Point, second: Point, up: float, along: float = 0.0) -> Datum:
    """Origin `up` to the left of a flat through two points and `along` it from the first; x along the flat."""
    angle = _direction(first, second, phrase("The two points of the flat"))
    c, s = cos(angle), sin(angle)
    origin = (first[0] + along * c - up * s, first[1] + along * s + up * c)
    return Datum(origin, angle, phrase("a stated distance up from the flat and along it, x along the flat"))


def from_register(edge: Sequence[Point], towards: Point) -> Datum:
    """Origin at the centre of the circle that fits a register's edge best, x towards a point such as a dowel."""
    fit = fit_circle(edge)
    angle = _direction((fit.x, fit.y), towards, phrase("The register's centre and the point that x runs to"))
    return Datum(
        (fit.x, fit.y), angle, phrase("centre of the circle that fits the register best, x towards the stated point")
    )
