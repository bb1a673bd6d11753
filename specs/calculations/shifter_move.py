"""How much shorter a shift rod must be when the shifter housing is shortened, and where the lever ends up otherwise."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import DimensionLine
from specs.drawings.primitives import Circle, Drawing, Item, Line, Point, Polyline, Role, Stroke, Text, Tone, turned
from specs.drawings.sections import box, sheet, uncut
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_most, not_known
from specs.engine.units import ANGLE, LENGTH, show
from specs.phrase import phrase
from specs.standards.publications import Source

_SAME = 1e-9  # m


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The rod runs from the gearbox to the lower end of the lever, at an angle to the way the housing moves."""

    housing_cut: float = quantity(
        LENGTH,
        phrase("Housing shortened by"),
        symbol="h",
        at_least=0,
        group="Move",
        help=phrase("how far the lever's pivot moves"),
    )
    rod_cut: float = quantity(LENGTH, phrase("Rod shortened by"), symbol="c", at_least=0, group="Move")
    rod_angle: float = quantity(
        ANGLE,
        phrase("Angle of the rod to the move"),
        symbol="theta",
        default=0,
        above=-90,
        below=90,
        group="Rod",
        help=phrase("0 where the rod lies along the housing"),
    )
    rod_length: float | None = quantity(
        LENGTH,
        phrase("Rod length before"),
        symbol="L",
        above=0,
        optional=True,
        group="Rod",
        help=phrase("end to end; for a rod at an angle this gives the exact figure"),
    )
    lower_arm: float = quantity(LENGTH, phrase("Lever, pivot to rod"), symbol="a", above=0, group="Lever")
    upper_arm: float = quantity(LENGTH, phrase("Lever, pivot to knob"), symbol="b", above=0, group="Lever")
    knob_limit: float | None = quantity(
        LENGTH,
        phrase("Knob may stand off by"),
        symbol="k_lim",
        above=0,
        optional=True,
        group="Limits",
        help=phrase("in neutral, either way, with every gear still reached"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """A positive mismatch: the rod is too long, and pushes the lower end of the lever back."""

    rod_needed: float = result(LENGTH, phrase("Shorten the rod by"), symbol="r")
    mismatch: float = result(LENGTH, phrase("Still to take off"), symbol="e")
    lever_tilt: float = result(ANGLE, phrase("Lever stands off upright by"), symbol="beta")
    knob_shift: float = result(LENGTH, phrase("Knob moves by"), symbol="k")


def solve(given: Inputs) -> Outputs:
    """Bring the rod's far end nearer by the cut, its sideways offset kept (plane trigonometry; lengths [m]).

    r = L − √(L² − 2 L h cos θ + h²) with a length, r = h·cos θ without; e = r − c;
    β = atan(e/cos θ/a) [rad]; k = b·sin β. Raises Refused where the rod is no longer than the cut.
    """
    if given.rod_length is not None and given.rod_length <= given.housing_cut:
        raise Refused("rod_length", phrase("must be more than the housing is shortened by."))
    along = math.cos(given.rod_angle)
    needed = given.housing_cut * along
    if given.rod_length is not None:
        # Law of cosines for the triangle of old rod, move and new rod.
        left = math.hypot(given.rod_length - needed, given.housing_cut * math.sin(given.rod_angle))
        needed = given.rod_length - left
    mismatch = needed - given.rod_cut
    tilt = math.atan(mismatch / along / given.lower_arm)
    return Outputs(rod_needed=needed, mismatch=mismatch, lever_tilt=tilt, knob_shift=given.upper_arm * math.sin(tilt))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """How much shorter the rod must be, what is missing, where the lever then stands."""
    if given.rod_length is None:
        yield WorkingStep("r = h * cos(theta)", note=phrase("for a rod long against the cut"))
    else:
        yield WorkingStep(
            "r = L - sqrt(L**2 - 2 * L * h * cos(theta) + h**2)", note=phrase("its ends' sideways offset is kept")
        )
    yield WorkingStep("e = r - c")
    yield WorkingStep("beta = atan(e / cos(theta) / a)", note=phrase("the lower end follows the rod"))
    yield WorkingStep("k = b * sin(beta)")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Hold where the knob stands in neutral against what is allowed."""
    if given.knob_limit is None:
        yield not_known(phrase("Knob in neutral"), phrase("how far the knob may stand off is not given"))
    else:
        words = phrase("knob off its place in neutral, either way, against what is allowed")
        yield at_most(phrase("Knob in neutral"), abs(found.knob_shift), given.knob_limit, words, LENGTH)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where too much came off, which no cut puts back."""
    if found.mismatch < -_SAME:
        yield phrase(
            "The rod is {show} too short: it has to be lengthened, or made anew.", show=show(-found.mismatch, LENGTH)
        )


_TALL = 96.0


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The lever in neutral as it will stand, against upright."""
    scale = _TALL / (given.lower_arm + given.upper_arm)
    c, s = math.cos(found.lever_tilt), math.sin(found.lever_tilt)
    low, high = given.lower_arm * scale, given.upper_arm * scale
    knob, foot = (high * s, high * c), (-low * s, -low * c)
    items: list[Item] = [
        Line((0, -low - 6), (0, high + 8), role=Role.CENTRE, stroke=Stroke.CHAIN),
        *_lever(foot, knob),
        Polyline(((0, 0), (-9, -9), (9, -9)), closed=True, fill=Tone.METAL),
        Circle((0, 0), 3.2, Tone.PLAIN),
        Circle(knob, 4, Tone.ENGINE, role=Role.ENGINE),
        Circle(foot, 1.8, Tone.SOLID),
        *_rod(foot, given.rod_angle),
        Text((12, -1.6), "pivot", 4.2),
        Text(
            (foot[0] + 20, foot[1] - 9), phrase("rod: {show} still to take off", show=show(found.mismatch, LENGTH)), 4.2
        ),
        DimensionLine((0, knob[1]), knob, show(found.knob_shift, LENGTH), 12, 0, height=4.2),
    ]
    said = phrase(
        "The rod must be {show} shorter; {show_2} is still to take off, the "
        "lever leans {show_3} and the knob stands {show_4} off.",
        show=show(found.rod_needed, LENGTH),
        show_2=show(found.mismatch, LENGTH),
        show_3=show(found.lever_tilt, ANGLE),
        show_4=show(found.knob_shift, LENGTH),
    )
    return sheet(phrase("Lever in neutral"), said, items)


def _lever(foot: Point, knob: Point) -> Iterator[Item]:
    turn = math.atan2(knob[1] - foot[1], knob[0] - foot[0])
    yield uncut(tuple(turned(point, turn, foot) for point in box(0, math.dist(foot, knob), -1.5, 1.5)))


def _rod(foot: Point, angle: float) -> Iterator[Item]:
    """The rod to the gearbox's selector, broken off."""
    yield uncut(tuple(turned(point, angle, foot) for point in box(0, 60, -1.2, 1.2)))
    yield Text(turned((38, 4), angle, foot), phrase("rod to the gearbox"), 4.2)


CALCULATION = Calculation(
    title=phrase("Shifter move"),
    question=phrase("How much shorter must the rod be?"),
    area=phrase("Shifter, mounts and welds"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "housing_cut": 63.5,
        "rod_cut": 60,
        "rod_angle": 8,
        "rod_length": 420,
        "lower_arm": 35,
        "upper_arm": 220,
        "knob_limit": 20,
    },
    cautions=(
        phrase("Prove every gear, reverse and its lock-out by hand with the engine off before the vehicle moves."),
        phrase("Starter interlock: the engine must start only in neutral or with the clutch down, as before."),
        phrase(
            "The rod's joint is a safety part: have it welded by a qualified person, sleeved or pinned, not butted "
            "alone."
        ),
    ),
    sources=(Source(phrase("Plane trigonometry of rod and lever, law of cosines"), "general", "geometry"),),
    limits=(phrase("Housing and rod in one plane; the lever's pivot moves straight along the housing; small play."),),
    revision=2,
    not_checked=(
        phrase("The rod's turning for the gates, clearance to tunnel and propshaft, and the throw of the lever."),
        phrase("Strength of the weld."),
    ),
)
