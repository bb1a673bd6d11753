"""Centre and diameter of a hole from points probed on its edge."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from specs.drawings.annotation import CentreMark
from specs.drawings.primitives import Circle, Drawing, Item, Line, Role, Text, Tone
from specs.drawings.sections import LETTERS, diameter, sheet
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, records, result
from specs.engine.checks import Check, at_most, not_known, open_where
from specs.engine.units import (
    ANGLE,
    AREA,
    LENGTH,
    show,
    show_place,
)
from specs.geometry.circles import arc_covered, fit_circle, fit_circles, settled
from specs.phrase import phrase
from specs.standards.publications import Source

_WIDEST = math.radians(60.001)  # between two points: eight in one quarter say nothing of the rest; common practice
_ENOUGH = 8  # points, evenly round, before a hole is called round; common practice, no source


@dataclass(frozen=True, kw_only=True)
class Probe:
    """One probed point."""

    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Points on the edge of one hole, with the probe's own radius already taken off."""

    points: tuple[Probe, ...] = records(
        Probe,
        phrase("Probed points"),
        at_least=3,
        help=phrase("three or more, as far round the hole as can be reached"),
    )
    limit: float | None = quantity(
        LENGTH, phrase("Greatest out of round allowed"), symbol="f_lim", above=0, optional=True, group="Limits"
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The residual is the root mean square distance of the points from the circle."""

    x: float = result(LENGTH, phrase("Centre, x"), symbol="x_c")
    y: float = result(LENGTH, phrase("Centre, y"), symbol="y_c")
    diameter: float = result(LENGTH, phrase("Diameter"), symbol="D")
    residual: float = result(LENGTH, phrase("Left over (root mean square)"), symbol="r")
    out_of_round: float = result(LENGTH, phrase("Out of round, greatest less least radius"), symbol="f")


def solve(given: Inputs) -> Outputs:
    """The circle with the least sum of squared distances from its edge (geometric, not algebraic), lengths [m].

    Out of round is the roundness deviation from that circle: greatest less least distance from its centre.
    Raises Refused where the points lie in line, or a straight line would fit them as well.
    """
    try:
        fit = fit_circle(_points(given))
    except ValueError as wrong:
        raise Refused("points", str(wrong)) from None
    return _outputs(given, fit.x, fit.y, fit.diameter / 2)


def solve_all(givens: Sequence[Inputs]) -> list[Outputs | None]:
    """The same for many readings of one hole at once."""
    circles = fit_circles([_points(given) for given in givens])
    return [circle and _outputs(given, *circle) for given, circle in zip(givens, circles, strict=True)]


def _outputs(given: Inputs, x: float, y: float, radius: float) -> Outputs:
    distances = [math.hypot(point.x - x, point.y - y) for point in given.points]
    rms = math.sqrt(math.fsum((distance - radius) ** 2 for distance in distances) / len(distances))
    # Three points always fit: what is left then is the arithmetic's.
    swing = settled(max(distances) - min(distances))
    return Outputs(x=x, y=y, diameter=2 * radius, residual=settled(rms), out_of_round=swing)


def _points(given: Inputs) -> list[tuple[float, float]]:
    return [(point.x, point.y) for point in given.points]


def _distances(given: Inputs, found: Outputs) -> list[float]:
    return [math.hypot(point.x - found.x, point.y - found.y) for point in given.points]


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """At the best circle the radius is the mean distance of the points from the centre."""
    distances = _distances(given, found)
    mean = math.fsum(distances) / len(distances)
    square = math.fsum((d - mean) ** 2 for d in distances) / len(distances)
    yield WorkingStep(
        "D = 2 * d_m", {"d_m": (mean, LENGTH)}, phrase("d_m: mean distance of the points from the fitted centre")
    )
    yield WorkingStep(
        "r = sqrt(v)", {"v": (square, AREA)}, phrase("v: mean square of what each distance differs from that")
    )
    ends = {"d_max": (max(distances), LENGTH), "d_min": (min(distances), LENGTH)}
    yield WorkingStep("f = d_max - d_min", ends, phrase("greatest and least distance from the fitted centre"))


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Hold what the hole is out of round against the limit; three points cannot tell."""
    if given.limit is None:
        yield not_known(phrase("Roundness"), phrase("how much out of round is allowed is not given"))
        return
    check = at_most(
        phrase("Roundness"), found.out_of_round, given.limit, phrase("out of round, against what is allowed"), LENGTH
    )
    few = phrase("{points} points cannot show it", points=len(given.points)) if len(given.points) < _ENOUGH else None
    part = phrase("points on a part of the circle cannot show it") if _bare(given, found) > _WIDEST else None
    yield open_where(
        check, *(phrase("{why}: probe eight or more, evenly round", why=why) for why in (few, part) if why)
    )


def _bare(given: Inputs, found: Outputs) -> float:
    """The widest angle between neighbouring points."""
    return math.tau - arc_covered(_points(given), (found.x, found.y))


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where little of the circle was probed, and where nothing is left over to judge by."""
    arc = arc_covered(_points(given), (found.x, found.y))
    if arc < math.pi / 2:
        yield phrase(
            "The points cover only {show} of the circle: centre and diameter are uncertain "
            "many times over the probing error.",
            show=show(arc, ANGLE, figures=2),
        )
    if len(given.points) == 3:
        yield phrase("Three points always fit: probe one more to see whether the hole is round.")


_RADIUS = 46.0
_WORST = 8.0  # mm that the worst point stands off the circle
_NUMBERED = 24  # points that bear their number; of more only the worst one


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The fitted circle with its diameter and centre, the points numbered, and what they are off by enlarged.

    Dashed are the two circles that all points lie between: their distance is what the hole is out of round.
    """
    misses = [distance - found.diameter / 2 for distance in _distances(given, found)]
    worst = max(range(len(misses)), key=lambda at: abs(misses[at]))
    largest = abs(misses[worst])
    # Points that fit perfectly stay on the circle.
    scale = _WORST / largest if largest > 0.5e-9 * found.diameter else 0.0
    reaches = [_RADIUS + scale * miss for miss in misses]
    items: list[Item] = [Circle((0, 0), _RADIUS), CentreMark((0, 0), _RADIUS + 4)]
    if scale:
        items += [Circle((0, 0), reach, role=Role.LIMIT) for reach in (min(reaches), max(reaches))]
    for at, (point, reach) in enumerate(zip(given.points, reaches, strict=True)):
        turn = math.atan2(point.y - found.y, point.x - found.x)
        is_named = at == worst or len(misses) <= _NUMBERED
        items += _point(turn, reach, str(at + 1) if is_named else "")
    items.append(diameter(-_RADIUS * 0.1, 2 * _RADIUS, show_place(found.diameter), -(_RADIUS * 0.9 + _WORST + 14)))
    side = "inside" if misses[worst] < 0 else "outside"
    centre = phrase(
        "centre x {show_place}, y {show_place_2}", show_place=show_place(found.x), show_place_2=show_place(found.y)
    )
    told = (
        centre,
        phrase(
            "point {worst} is farthest off: {show} {side}",
            worst=worst + 1,
            show=show(largest, LENGTH, figures=2),
            side=side,
        ),
        phrase("out of round {show}: between the dashed circles", show=show(found.out_of_round, LENGTH, figures=2)),
    )
    items += [Text((0, -_RADIUS - _WORST - 19 - 7 * row), line, LETTERS, "middle") for row, line in enumerate(told)]
    said = phrase(
        "Circle: ⌀{show_place}, {centre}; {told}.", show_place=show_place(found.diameter), centre=centre, told=told[1]
    )
    return sheet(phrase("Fitted circle"), said, items)


def _point(turn: float, reach: float, number: str) -> Iterator[Item]:
    """A probed point, the line to the circle that it is off by, and its number outside."""
    on_circle, there, outside = (
        (r * math.cos(turn), r * math.sin(turn)) for r in (_RADIUS, reach, _RADIUS + _WORST + 6)
    )
    yield Line(on_circle, there, role=Role.ENGINE)
    yield Circle(there, 1.3, Tone.SOLID, role=Role.ENGINE)
    if number:
        yield Text((outside[0], outside[1] - LETTERS / 2), number, LETTERS, "middle")


CALCULATION = Calculation(
    title=phrase("Circle through probed points"),
    question=phrase("Where is the centre of this hole, and how big is it?"),
    area=phrase("Fit and measurement"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    solve_all=solve_all,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "points": [
            {"x": 53.80, "y": -7.22},
            {"x": 33.15, "y": 28.51},
            {"x": -8.15, "y": 28.53},
            {"x": -28.79, "y": -7.27},
            {"x": -8.18, "y": -43.05},
            {"x": 33.15, "y": -43.02},
        ],
        "limit": 0.1,
    },
    cautions=(
        phrase("Probe round the whole hole at one depth: over a short arc a small error moves the centre a long way."),
        phrase("Burrs, chamfers and paint count as edge: clean the hole first."),
    ),
    sources=(
        Source(
            phrase("Gander, Golub, Strebel, Least-squares fitting of circles and ellipses, BIT 34"),
            "1994",
            phrase("geometric fit of a circle"),
            "from memory",
        ),
        Source(
            phrase("ISO 12181-1"), "2011", phrase("roundness deviation from the least squares circle"), "from memory"
        ),
    ),
    revision=3,
    limits=(phrase("Points of one round hole in one plane, all probed equally well."),),
    not_checked=(phrase("Whether the hole is square to the face."),),
)
