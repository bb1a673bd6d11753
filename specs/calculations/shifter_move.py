"""How much a shift rod must lose when the shifter housing is shortened, and where the lever ends up otherwise."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.calculation import Calculation, Refused, Step, quantity, result
from specs.sources import Source
from specs.units import ANGLE, LENGTH


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The rod runs from the gearbox to the lower end of the lever, at an angle to the way the housing moves."""

    housing_cut: float = quantity(
        LENGTH, "Housing shortened by", symbol="h", at_least=0, group="Move", help="how far the lever's pivot moves"
    )
    rod_cut: float = quantity(LENGTH, "Rod shortened by", symbol="c", at_least=0, group="Move")
    rod_angle: float = quantity(
        ANGLE,
        "Angle of the rod to the move",
        symbol="theta",
        default=0,
        above=-90,
        below=90,
        group="Rod",
        help="0 where the rod lies along the housing",
    )
    rod_length: float | None = quantity(
        LENGTH,
        "Rod length before",
        symbol="L",
        above=0,
        optional=True,
        group="Rod",
        help="end to end; for a rod at an angle this gives the exact figure",
    )
    lower_arm: float = quantity(LENGTH, "Lever, pivot to rod", symbol="a", above=0, group="Lever")
    upper_arm: float = quantity(LENGTH, "Lever, pivot to knob", symbol="b", above=0, group="Lever")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """A positive mismatch: the rod is too long, and pushes the lower end of the lever back."""

    rod_needed: float = result(LENGTH, "Rod must lose", symbol="r")
    mismatch: float = result(LENGTH, "Still to take off", symbol="e")
    lever_tilt: float = result(ANGLE, "Lever stands off upright by", symbol="beta")
    knob_shift: float = result(LENGTH, "Knob moves by", symbol="k")


def solve(given: Inputs) -> Outputs:
    """Bring the rod's far end nearer by the cut, its sideways offset kept (plane trigonometry; lengths [m]).

    r = L − √(L² − 2 L h cos θ + h²) with a length, r = h·cos θ without; e = r − c;
    β = atan(e/cos θ/a) [rad]; k = b·sin β. Raises Refused where the rod is no longer than the cut.
    """
    if given.rod_length is not None and given.rod_length <= given.housing_cut:
        raise Refused("rod_length", "must be more than the housing is shortened by.")
    along = math.cos(given.rod_angle)
    needed = given.housing_cut * along
    if given.rod_length is not None:
        # Law of cosines for the triangle of old rod, move and new rod.
        left = math.hypot(given.rod_length - needed, given.housing_cut * math.sin(given.rod_angle))
        needed = given.rod_length - left
    mismatch = needed - given.rod_cut
    tilt = math.atan(mismatch / along / given.lower_arm)
    return Outputs(rod_needed=needed, mismatch=mismatch, lever_tilt=tilt, knob_shift=given.upper_arm * math.sin(tilt))


def working(given: Inputs, found: Outputs) -> Iterator[Step]:
    """What the rod must lose, what is missing, where the lever then stands."""
    if given.rod_length is None:
        yield Step("r = h * cos(theta)", note="for a rod long against the cut")
    else:
        yield Step("r = L - sqrt(L**2 - 2 * L * h * cos(theta) + h**2)", note="its ends' sideways offset is kept")
    yield Step("e = r - c")
    yield Step("beta = atan(e / cos(theta) / a)", note="the lower end follows the rod")
    yield Step("k = b * sin(beta)")


CALCULATION = Calculation(
    title="Shifter move",
    question="How much must the rod lose?",
    area="Shifter, mounts and welds",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    example={"housing_cut": 63.5, "rod_cut": 60, "rod_angle": 8, "rod_length": 420, "lower_arm": 35, "upper_arm": 220},
    cautions=(
        "Prove every gear, reverse and its lock-out by hand with the engine off before the vehicle moves.",
        "Starter interlock: the engine must start only in neutral or with the clutch down, as before.",
        "The rod's joint is a safety part: have it welded by a qualified person, sleeved or pinned, not butted alone.",
    ),
    sources=(Source("Plane trigonometry of rod and lever, law of cosines", "general", "geometry"),),
    limits=("Housing and rod in one plane; the lever's pivot moves straight along the housing; small play.",),
    not_checked=(
        "The rod's turning for the gates, clearance to tunnel and propshaft, and the throw of the lever.",
        "Strength of the weld.",
    ),
)
