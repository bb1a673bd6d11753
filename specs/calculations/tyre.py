"""Diameter, rolling radius and turns per kilometre of a tyre from its size."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import CentreMark, DimensionLine
from specs.drawings.primitives import Circle, Drawing, Item, Line, Point, Polyline, Tone
from specs.drawings.sections import sheet
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result, text
from specs.engine.units import LENGTH, RATIO, show
from specs.phrase import phrase
from specs.standards.publications import Source
from specs.standards.tyres import Tyre, read_tyre


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The size as on the sidewall."""

    designation: str = text(phrase("Tyre size"), help=phrase("as on the sidewall, such as 245/40R18"))
    deflection: float = quantity(
        RATIO,
        phrase("Share by which it rolls smaller"),
        symbol="delta",
        default=0.03,
        at_least=0,
        below=0.5,
        help=phrase("rolling radius below free radius; 0.0292 gives ETRTO's 3.05 × diameter"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Free: unloaded. Rolling: as it covers the road."""

    free_diameter: float = result(LENGTH, phrase("Free diameter"), symbol="D")
    rolling_radius: float = result(LENGTH, phrase("Rolling radius"), symbol="r")
    circumference: float = result(LENGTH, phrase("Rolling circumference"), symbol="C")
    turns_per_km: float = result(RATIO, phrase("Turns per kilometre"), symbol="n")


def solve(given: Inputs) -> Outputs:
    """Free diameter D = rim + 2·width·aspect [m]; rolling radius r = D/2·(1 − δ); C = 2π r; turns in 1000 m = 1000/C.

    Raises Refused where the designation is not a tyre size.
    """
    diameter = _tyre(given).free_diameter
    radius = diameter / 2 * (1 - given.deflection)
    return Outputs(
        free_diameter=diameter,
        rolling_radius=radius,
        circumference=2 * math.pi * radius,
        turns_per_km=1000 / (2 * math.pi * radius),
    )


def _tyre(given: Inputs) -> Tyre:
    try:
        return read_tyre(given.designation)
    except ValueError as wrong:
        raise Refused("designation", str(wrong)) from None


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """From the three figures of the size."""
    tyre = _tyre(given)
    size = {"w": (tyre.width, LENGTH), "a": (tyre.aspect, RATIO), "d": (tyre.rim, LENGTH)}
    yield WorkingStep("D = d + 2 * w * a", size, phrase("d rim, w section width, a aspect ratio"))
    yield WorkingStep("r = D / 2 * (1 - delta)")
    yield WorkingStep("C = 2 * pi * r")
    yield WorkingStep("n = L / C", {"L": (1000.0, LENGTH)}, phrase("L: one kilometre"))


_RADIUS = 48.0


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The tyre from the side on the road, flattened to its rolling radius."""
    scale = _RADIUS / (found.free_diameter / 2)
    rim, road = _tyre(given).rim / 2 * scale, -found.rolling_radius * scale
    items: list[Item] = [
        Polyline(_flattened(road), closed=True, fill=Tone.METAL),
        Circle((0, 0), rim, Tone.PLAIN),
        CentreMark((0, 0), _RADIUS + 4),
        Line((-_RADIUS - 8, road), (_RADIUS + 8, road)),
        DimensionLine((0, _RADIUS), (0, -_RADIUS), f"⌀{show(found.free_diameter, LENGTH)}", -_RADIUS - 18, height=4.2),
        DimensionLine((0, road), (0, 0), f"R{show(found.rolling_radius, LENGTH)}", -_RADIUS - 12, height=4.2),
    ]
    said = phrase(
        "{designation}: free diameter {show}, rolling radius {show_2}.",
        designation=given.designation,
        show=show(found.free_diameter, LENGTH),
        show_2=show(found.rolling_radius, LENGTH),
    )
    return sheet("Tyre", said, items)


def _flattened(road: float) -> tuple[Point, ...]:
    """The tyre's outline, which the road flattens."""
    turns = (math.radians(turn) for turn in range(0, 360, 3))
    return tuple((_RADIUS * math.cos(turn), max(_RADIUS * math.sin(turn), road)) for turn in turns)


CALCULATION = Calculation(
    title=phrase("Tyre size"),
    question=phrase("How far does this tyre roll in one turn?"),
    area=phrase("Gearing"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    drawing=drawing,
    example={"designation": "245/40R18"},
    transforms=True,
    answered_by="circumference",
    cautions=(
        phrase(
            "Makers' tyres of one size differ by a per cent or two, and wear takes another: roll it out where it "
            "matters."
        ),
        phrase(
            "Load and speed rating, clearance at full lock and bump, and approval for the vehicle come before diameter."
        ),
    ),
    sources=(
        Source(phrase("ISO 4000-1"), "", phrase("designation and overall diameter of passenger tyres"), "from memory"),
        Source(
            phrase("ETRTO Standards Manual"),
            "",
            phrase("rolling circumference of a radial tyre, 3.05 × overall diameter"),
            "from memory",
        ),
    ),
    limits=(phrase("Radial tyres at usual pressure and load, on a hard road."),),
    not_checked=(phrase("Whether the tyre fits the rim and the vehicle."),),
)
