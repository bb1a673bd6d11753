"""Two measurements of one hole pattern laid on each other, and what does not fit."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from specs.drawings.annotation import Arrow, CentreMark
from specs.drawings.primitives import Circle, Drawing, Item, Role, Text, Tone, bounds_of
from specs.drawings.sections import sheet
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, records, result, text, text_result
from specs.engine.checks import Check, at_most, not_known
from specs.engine.units import ANGLE, AREA, LENGTH, RATIO, show
from specs.geometry.patterns import (
    RigidFit,
    in_line,
    mirror_fit,
    mirror_slack,
    rigid_fit,
    rigid_fits,
    scale_of,
    scaled_rms,
)
from specs.geometry.points import Point
from specs.phrase import phrase
from specs.standards.publications import Source
from specs.written import num

SCALE_SUSPECT = 3.0  # times better than the plain fit; common practice, no source
_NOUGHT = 1e-9  # m: what rounding leaves of a pattern that fits as it is
_ABOUT = 0.05  # of a factor between two units: the spread between specimens; common practice, no source


@dataclass(frozen=True, kw_only=True)
class NamedPoint:
    """A named hole centre."""

    name: str = text(phrase("Name"))
    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Both lists name the same holes, in any order, each in its own datum."""

    measured: tuple[NamedPoint, ...] = records(NamedPoint, phrase("Measured holes"), at_least=2)
    reference: tuple[NamedPoint, ...] = records(
        NamedPoint, phrase("Reference holes"), at_least=2, help=phrase("the same names, in any order")
    )
    limit: float | None = quantity(
        LENGTH, phrase("Greatest distance allowed at a hole"), symbol="w_lim", above=0, optional=True, group="Limits"
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Turn the reference about its origin, then move it: it lies on the measured holes as well as it can."""

    dx: float = result(LENGTH, phrase("Move in x"), symbol="d_x")
    dy: float = result(LENGTH, phrase("Move in y"), symbol="d_y")
    rotation: float = result(ANGLE, phrase("Turn, counter-clockwise"), symbol="theta")
    residual: float = result(LENGTH, phrase("Left over (root mean square)"), symbol="r")
    worst: float = result(LENGTH, phrase("Worst hole is off by"), symbol="w")
    worst_name: str = text_result(phrase("Worst hole"))
    scale: float = result(RATIO, phrase("Measured over reference size"), symbol="s")


def solve(given: Inputs) -> Outputs:
    """Least-squares rigid motion without reflection: tan θ = Σ(r × m)/Σ(r · m) about the centroids, lengths [m].

    The motion does not scale; how much larger the measured pattern is stands beside it: √(Σ(r × m)² + Σ(r · m)²)/Σ r².
    Raises Refused where the names of the two lists differ, or all holes of a list lie in one place.
    """
    measured, reference = _paired(given)
    for name, points in (("measured", measured), ("reference", reference)):
        if len(set(points)) == 1:
            raise Refused(name, phrase("has all its holes in one place: no turn can be told from that."))
    fit = rigid_fit(measured, reference)
    return _outputs(given, fit.dx, fit.dy, fit.rotation, scale_of(measured, reference), *fit.misses)


def solve_all(givens: Sequence[Inputs]) -> list[Outputs | None]:
    """The same for many readings of the same two lists at once."""
    import numpy as np

    measured, reference = zip(*map(_paired, givens), strict=True)
    rows = rigid_fits(np.array(measured), np.array(reference)).tolist()
    pairs = zip(givens, rows, strict=True)
    return [None if math.isnan(row[3]) else _outputs(given, *row) for given, row in pairs]


def _outputs(given: Inputs, dx: float, dy: float, rotation: float, scale: float, *misses: float) -> Outputs:
    worst = max(range(len(misses)), key=misses.__getitem__)
    return Outputs(
        dx=dx,
        dy=dy,
        rotation=math.pi if rotation == -math.pi else rotation,
        residual=math.sqrt(math.fsum(miss**2 for miss in misses) / len(misses)),
        worst=misses[worst],
        worst_name=given.measured[worst].name,
        scale=scale,
    )


def _paired(given: Inputs) -> tuple[list[Point], list[Point]]:
    """Measured and reference points in the order of the measured."""
    reference = {hole.name: (hole.x, hole.y) for hole in given.reference}
    names = [hole.name for hole in given.measured]
    _demand("reference", "measured", [name for name in names if name not in reference])
    _demand("measured", "reference", [name for name in reference if name not in names])
    return [(hole.x, hole.y) for hole in given.measured], [reference[name] for name in names]


def _demand(there: str, here: str, missing: list[str]) -> None:
    if missing:
        listed = ", ".join(f'"{name}"' for name in missing[:5]) + (" …" if len(missing) > 5 else "")
        raise Refused(
            there,
            phrase(
                "lacks {listed}, which the {here} holes have: both lists must name the same holes.",
                listed=listed,
                here=here,
            ),
        )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """The turn from the sums, the move from the two centroids, what is left over."""
    measured, reference = _paired(given)
    (mx, my), (rx, ry) = (_middle(points) for points in (measured, reference))
    # The reference's arms add up to nothing, so that it does not matter where the measured count from.
    arms = [((r[0] - rx, r[1] - ry), m) for r, m in zip(reference, measured, strict=True)]
    leaning = math.fsum(r[0] * m[1] - r[1] * m[0] for r, m in arms)
    lying = math.fsum(r[0] * m[0] + r[1] * m[1] for r, m in arms)
    sums = {"S": (leaning, AREA), "C": (lying, AREA)}
    # Where every turn fits alike the sums leave rounding only, and no turn was taken.
    if math.isclose(math.cos(math.atan2(leaning, lying) - found.rotation), 1.0):
        yield WorkingStep(
            "theta = atan2(S, C)",
            sums,
            phrase("S, C: sums of r × m and r · m, r counted from the centroid of the reference"),
        )
    sums["R"] = (math.fsum(math.hypot(*r) ** 2 for r, _ in arms), AREA)
    yield WorkingStep("s = hypot(S, C) / R", sums, phrase("R: sum of the squares of the reference's arms"))
    middles = {"x_m": (mx, LENGTH), "y_m": (my, LENGTH), "x_r": (rx, LENGTH), "y_r": (ry, LENGTH)}
    yield WorkingStep(
        "d_x = x_m - x_r * cos(theta) + y_r * sin(theta)", middles, phrase("centroid of the measured, less that turned")
    )
    yield WorkingStep("d_y = y_m - x_r * sin(theta) - y_r * cos(theta)", middles)
    square = {"v": (found.residual**2, AREA)}
    yield WorkingStep("r = sqrt(v)", square, phrase("v: mean square of the distances left over"))


def _middle(points: list[Point]) -> Point:
    return math.fsum(x for x, _ in points) / len(points), math.fsum(y for _, y in points) / len(points)


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Hold the worst hole against the limit; say where a pattern was read from the other side, or in another scale."""
    if given.limit is None:
        yield not_known(phrase("Worst hole"), phrase("the greatest distance allowed at a hole is not given"))
    else:
        yield at_most(
            phrase("Worst hole"), found.worst, given.limit, phrase("distance left over, against the limit"), LENGTH
        )
    measured, reference = _paired(given)
    if len(measured) < 3:
        yield not_known(phrase("Same scale"), phrase("two holes fit at any scale: only a third tells scale from error"))
        return
    yield _same_scale(measured, reference, found)
    if in_line(measured) or in_line(reference):
        yield not_known(phrase("Same side"), phrase("holes in a line look alike from both sides"))
    else:
        yield _same_side(measured, reference, found)


def _same_scale(measured: list[Point], reference: list[Point], found: Outputs) -> Check:
    left, as_it_is = scaled_rms(measured, reference), show(found.residual, LENGTH, figures=2)
    scaled = found.residual > max(SCALE_SUSPECT * left, _NOUGHT)
    detail = phrase(
        "as entered {as_it_is} is left, scaled by {num} {show} would be",
        as_it_is=as_it_is,
        num=num(found.scale, ".4f"),
        show=show(left, LENGTH, figures=2),
    )
    said = phrase("this looks scaled: {detail}", detail=detail) if scaled else detail
    return Check(phrase("Same scale"), not scaled, None, said, SCALE_SUSPECT * left - found.residual)


def _same_side(measured: list[Point], reference: list[Point], found: Outputs) -> Check:
    mirror = mirror_fit(measured, reference).rms
    slack = mirror_slack(measured, found.residual, mirror)
    mirrored = slack < 0
    other = show(mirror, LENGTH, figures=2)
    as_it_is = show(found.residual, LENGTH, figures=2)
    detail = (
        phrase(
            "this looks mirrored: the mirror image leaves {other}, as entered {as_it_is} is left",
            other=other,
            as_it_is=as_it_is,
        )
        if mirrored
        else phrase(
            "as entered {as_it_is} is left, the mirror image would leave {other}", as_it_is=as_it_is, other=other
        )
    )
    return Check(phrase("Seen from the same side"), not mirrored, None, detail, slack)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Two holes fit whatever the turn: only their distance is compared. Say where a unit was mistaken."""
    for factor, words in ((25.4, "inches"), (10.0, "centimetres")):
        if any(abs(found.scale - times) < _ABOUT * times for times in (factor, 1 / factor)):
            yield phrase(
                "One pattern is about {num} times as large as the other: was one entered in {words}?",
                num=num(factor),
                words=words,
            )
    if len(given.measured) == 2:
        yield phrase("Two holes compare a distance only: they cannot tell a mirrored pattern.")


_LETTERS = 4.2
_SIZE = 90.0
_HOLE = 4.5


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The reference laid on the measured holes; arrows, enlarged, from where a hole should be to where it is."""
    measured, reference = _paired(given)
    fit = RigidFit(found.dx, found.dy, found.rotation, ())
    laid = [fit.lay(point) for point in reference]
    room = bounds_of([Circle(point, 1e-6) for point in [*measured, *laid]])
    scale = _SIZE / max(room.width, room.height)
    enlarged = 14.0 / found.worst if found.worst > 1e-9 else 0.0
    items: list[Item] = []
    for hole, to, of in zip(given.measured, measured, laid, strict=True):
        items += _hole(hole.name, (of[0] * scale, of[1] * scale), _times(to, of, enlarged))
    left, bottom = room.left * scale, room.bottom * scale
    items.append(
        Text(
            (left, bottom - 26),
            phrase(
                "worst {worst_name}: {show}", worst_name=found.worst_name, show=show(found.worst, LENGTH, figures=3)
            ),
            _LETTERS,
        )
    )
    said = (
        phrase("chain line: reference; full line: measured"),
        phrase("arrows enlarged {num} times", num=num(enlarged / scale, ".3g")),
    )
    items += [Text((left, bottom - 33 - 7 * row), words, _LETTERS) for row, words in enumerate(said)]
    return sheet(
        phrase("Pattern laid on pattern"),
        phrase(
            "{measured} holes; {show} left over, worst {worst_name} by {show_2}.",
            measured=len(measured),
            show=show(found.residual, LENGTH, figures=2),
            worst_name=found.worst_name,
            show_2=show(found.worst, LENGTH, figures=2),
        ),
        items,
    )


def _times(to: Point, of: Point, enlarged: float) -> Point:
    return (to[0] - of[0]) * enlarged, (to[1] - of[1]) * enlarged


def _hole(name: str, at: Point, miss: Point) -> Iterator[Item]:
    is_off = math.hypot(*miss) > 0.5
    yield Circle(at, _HOLE, role=Role.GEARBOX)
    yield CentreMark(at, _HOLE + 2)
    if is_off:
        yield Circle((at[0] + miss[0], at[1] + miss[1]), _HOLE, role=Role.ENGINE)
        yield Arrow(at, (at[0] + miss[0], at[1] + miss[1]), height=3)
    else:
        yield Circle(at, 1.0, Tone.SOLID, role=Role.OK)
    # The name stands on the side that the arrow leaves free.
    side, away = ("end", -_HOLE - 4) if miss[0] > 0 else ("start", _HOLE + 4)
    yield Text((at[0] + away, at[1] - _LETTERS / 2), name, _LETTERS, side)


CALCULATION = Calculation(
    title=phrase("Pattern laid on pattern"),
    question=phrase("Do these two measurements of the face agree, and is one of them mirrored?"),
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
        "measured": [
            {"name": "a", "x": 0.45, "y": 0.25},
            {"name": "b", "x": 100.38, "y": -0.24},
            {"name": "c", "x": 100.72, "y": 59.69},
            {"name": "d", "x": 0.71, "y": 60.37},
        ],
        "reference": [
            {"name": "a", "x": 0, "y": 0},
            {"name": "b", "x": 100, "y": 0},
            {"name": "c", "x": 100, "y": 60},
            {"name": "d", "x": 0, "y": 60},
        ],
        "limit": 0.8,
    },
    cautions=(
        phrase(
            "A pattern read from the other side makes a scrap part: settle which side both were seen from before "
            "drilling."
        ),
        phrase("One wrong hole pulls all the others: leave out the worst and fit again to see whether the rest agree."),
    ),
    sources=(
        Source(
            phrase("W. Kabsch, A solution for the best rotation to relate two sets of vectors, Acta Cryst. A32"),
            "1976",
            "",
            "from memory",
        ),
    ),
    limits=(phrase("Flat faces; all holes measured equally well; the fit itself does not scale."),),
    revision=3,
    not_checked=(phrase("Hole diameters and the squareness of the holes to the face."),),
)
