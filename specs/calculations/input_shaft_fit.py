"""Whether the gearbox's input shaft reaches into the pilot bearing, clears its bottom, and fills the disc's hub."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Drawing
from specs.drawings.sections import sheet
from specs.drawings.shaft_in_pilot import ShaftInPilot, shaft_in_pilot
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_least, open_where, scant
from specs.engine.units import LENGTH, RATIO, show
from specs.phrase import joined, phrase
from specs.standards.publications import Source

_SAME = 1e-9  # m
# The usual least values, pre-filled: clearance [m], shares of the pilot bearing and of the hub; common practice.
_CLEARANCE, _PILOT, _HUB = 2e-3, 0.75, 0.8


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Places count back from the engine's rear face, where plate or bellhousing bolts on."""

    adapter_thickness: float = quantity(
        LENGTH, phrase("Plate thickness"), symbol="t", at_least=0, group="Between the faces"
    )
    bellhousing_depth: float = quantity(
        LENGTH,
        phrase("Bellhousing depth"),
        symbol="B",
        at_least=0,
        group="Between the faces",
        help=phrase("from the plate to the face that the shaft is measured from; 0 where that is the plate"),
    )
    flywheel_face: float = quantity(
        LENGTH,
        phrase("Flywheel's friction face"),
        symbol="F",
        group="Engine side",
        help=phrase("back from the engine's rear face; negative when it lies deeper"),
    )
    pilot_depth: float = quantity(
        LENGTH,
        phrase("Bottom of the pilot bore"),
        symbol="D",
        above=0,
        group="Engine side",
        help=phrase("deep from the flywheel's friction face"),
    )
    pilot_length: float = quantity(
        LENGTH,
        phrase("Length of the pilot bearing"),
        symbol="l",
        above=0,
        group="Engine side",
        help=phrase("standing at the bottom of that bore"),
    )
    hub_position: float = quantity(
        LENGTH,
        phrase("Front of the disc's hub"),
        symbol="p",
        group="Disc",
        help=phrase("back from the flywheel's friction face; negative where the hub dips into the flywheel"),
    )
    hub_length: float = quantity(LENGTH, phrase("Length of the hub's spline"), symbol="h", above=0, group="Disc")
    shaft_projection: float = quantity(
        LENGTH,
        phrase("Shaft's projection"),
        symbol="P",
        above=0,
        group="Shaft",
        help=phrase("nose ahead of the face at which plate and bellhousing end"),
    )
    spline_start: float = quantity(
        LENGTH,
        phrase("Full spline begins"),
        symbol="s_1",
        at_least=0,
        group="Shaft",
        help=phrase("behind the nose"),
    )
    spline_end: float = quantity(
        LENGTH, phrase("Full spline ends"), symbol="s_2", above=0, group="Shaft", help=phrase("behind the nose")
    )
    minimum_clearance: float = quantity(
        LENGTH,
        phrase("Least nose clearance wanted"),
        symbol="c_min",
        default=2,
        above=0,
        group="Limits",
        help=phrase("2 mm: crankshaft end float, heat and error of reading (common practice)"),
    )
    minimum_pilot_share: float = quantity(
        RATIO,
        phrase("Share of the pilot bearing wanted on the nose"),
        symbol="q_g",
        default=_PILOT,
        above=0,
        at_most=1,
        group="Limits",
        help=phrase("0.75: less tips the nose on the bearing's edge (common practice)"),
    )
    minimum_hub_share: float = quantity(
        RATIO,
        phrase("Share of the hub wanted on full spline"),
        symbol="q_k",
        default=_HUB,
        above=0,
        at_most=1,
        group="Limits",
        help=phrase("0.8: less bears the torque on short teeth and lets the hub rock (common practice)"),
    )
    minimum_engagement: float | None = quantity(
        LENGTH,
        phrase("Least spline engagement wanted"),
        symbol="k_min",
        above=0,
        optional=True,
        group="Limits",
        help=phrase("the disc maker's figure, in place of the share"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Negative figures say by how much two parts miss one another, or foul."""

    pilot_engagement: float = result(LENGTH, phrase("Nose within the pilot bearing"), symbol="g")
    nose_clearance: float = result(LENGTH, phrase("Nose to the bottom of the bore"), symbol="c")
    spline_engagement: float = result(LENGTH, phrase("Spline within the hub"), symbol="k")


@dataclass(frozen=True)
class _Places:
    """Where things lie behind the engine's rear face [m]."""

    gearbox_face: float
    nose: float
    pilot: tuple[float, float]
    hub: tuple[float, float]
    spline: tuple[float, float]


def _places(given: Inputs) -> _Places:
    gearbox_face = given.adapter_thickness + given.bellhousing_depth
    nose = gearbox_face - given.shaft_projection
    bottom, hub = given.flywheel_face - given.pilot_depth, given.flywheel_face + given.hub_position
    return _Places(
        gearbox_face,
        nose,
        (bottom, bottom + given.pilot_length),
        (hub, hub + given.hub_length),
        (nose + given.spline_start, nose + given.spline_end),
    )


def solve(given: Inputs) -> Outputs:
    """Line geometry from one datum, the engine's rear face; all lengths [m], places counted back from it.

    Nose at t + B − P; bottom of the pilot bore at F − D. Pilot engagement is at most the bearing's length. Raises
    Refused where the spline ends before it begins, or the bearing is longer than its bore is deep.
    """
    if given.spline_end <= given.spline_start:
        raise Refused("spline_end", phrase("must be more than where the spline begins: both count from the nose."))
    at = _places(given)
    return Outputs(
        pilot_engagement=min(at.pilot[1] - at.nose, given.pilot_length),
        nose_clearance=at.nose - at.pilot[0],
        spline_engagement=min(at.hub[1], at.spline[1]) - max(at.hub[0], at.spline[0]),
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """The two datum places, then each overlap."""
    at = _places(given)
    nose, bottom = {"z_n": (at.nose, LENGTH)}, {"z_b": (at.pilot[0], LENGTH)}
    yield WorkingStep("z_n = t + B - P", nose, phrase("nose, behind the engine's rear face"))
    yield WorkingStep("z_b = F - D", bottom, phrase("bottom of the pilot bore, from the same face"))
    yield WorkingStep("c = z_n - z_b", {**nose, **bottom})
    yield WorkingStep("g = min(z_b + l - z_n, l)", {**nose, **bottom}, phrase("no more than the bearing's length"))
    yield WorkingStep(
        "k = min(F + p + h, z_n + s_2) - max(F + p, z_n + s_1)",
        nose,
        phrase("where hub and full spline lie over each other"),
    )


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """The nose is carried by enough of its bearing, keeps off the bottom, and the hub is carried far enough."""
    wanted = given.minimum_pilot_share * given.pilot_length
    words = phrase("the nose runs in the bearing, over the share of it that is wanted")
    check = at_least(phrase("Nose reaches the pilot bearing"), found.pilot_engagement, wanted, words, LENGTH)
    yield open_where(check, scant(given.minimum_pilot_share, _PILOT))
    words = phrase("the nose stays off the bottom of the bore, against the least clearance wanted")
    check = at_least(phrase("Nose clears the bottom"), found.nose_clearance, given.minimum_clearance, words, LENGTH)
    yield open_where(check, scant(given.minimum_clearance, _CLEARANCE))
    least = given.minimum_engagement
    if least is None:
        least = given.minimum_hub_share * given.hub_length
    words = phrase("full spline within the hub, against the least wanted")
    check = at_least(phrase("Spline engagement"), found.spline_engagement, least, words, LENGTH)
    yield open_where(check, scant(least, _HUB * given.hub_length))


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what to do where a part misses or fouls another."""
    if found.pilot_engagement < given.minimum_pilot_share * given.pilot_length - _SAME:
        yield phrase("The nose is carried by too little of the pilot bearing: move the bearing, or make a longer bush.")
    if found.nose_clearance < -_SAME:
        yield phrase(
            "The nose bottoms before the faces meet: drawn home, it pushes on the crankshaft's thrust bearing."
        )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The shaft in its bearing and hub, cut along the axis, with what is told of each."""
    at = _places(given)
    words = (
        phrase("nose in the pilot bearing {show}", show=show(found.pilot_engagement, LENGTH)),
        phrase("nose off the bottom {show}", show=show(found.nose_clearance, LENGTH)),
        phrase("spline in the hub {show}", show=show(found.spline_engagement, LENGTH)),
    )
    failed = [check.passed is False for check in checks(given, found)]
    shown = ShaftInPilot(
        plate=given.adapter_thickness,
        gearbox_face=at.gearbox_face,
        flywheel_face=given.flywheel_face,
        pilot=at.pilot,
        hub=at.hub,
        spline=at.spline,
        nose=at.nose,
        words=words,
        fails=(failed[0], failed[1], failed[2]),
    )
    return sheet(
        phrase("Input shaft, pilot and hub"), phrase("{words}.", words=joined("; ", words)), list(shaft_in_pilot(shown))
    )


CALCULATION = Calculation(
    title=phrase("Input shaft, pilot and hub"),
    question=phrase("Does the input shaft reach the pilot bearing and fill the hub?"),
    area=phrase("Fit and measurement"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "adapter_thickness": 18,
        "bellhousing_depth": 165,
        "flywheel_face": 32,
        "pilot_depth": 45,
        "pilot_length": 15,
        "hub_position": 4,
        "hub_length": 26,
        "shaft_projection": 191,
        "spline_start": 34,
        "spline_end": 95,
    },
    cautions=(
        phrase("Try it with the bare parts before bolting up."),
        phrase("Never draw the gearbox home with its bolts: it bends the disc and breaks the pilot bearing."),
        phrase("The hub's longer side and the disc's flywheel side must be known before its position is measured."),
    ),
    sources=(
        Source(phrase("Line geometry from one datum"), phrase("common practice, no source")),
        Source(phrase("Least values: 2 mm, 0.75 of the bearing, 0.8 of the hub"), phrase("common practice, no source")),
    ),
    limits=(phrase("Parts on one straight axis; the bearing stands at the bottom of its bore."),),
    revision=3,
    not_checked=(
        phrase("Pilot and spline diameters; how the hub moves as the lining wears; whether hub and springs clear."),
    ),
)
