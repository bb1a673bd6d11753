"""The gap between release bearing and diaphragm fingers, new and worn, and the stroke that is left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.chart import Bar, Limit, bars
from specs.drawings.primitives import Drawing, Tone
from specs.drawings.scale import Axis
from specs.engine.calculation import Calculation, WorkingStep, quantity, result
from specs.engine.checks import Check
from specs.engine.sources import Source
from specs.engine.units import LENGTH, RATIO, show

_SAME = 1e-9


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Heights count back from the engine's rear face, the bearing's forward from the gearbox's."""

    finger_height: float = quantity(
        LENGTH,
        "Height of the diaphragm's fingers",
        symbol="H",
        group="Engine side",
        help="tips behind the engine's rear face, clutch bolted down with a new disc",
    )
    adapter_thickness: float = quantity(LENGTH, "Plate thickness", symbol="t", at_least=0, group="Between the faces")
    bellhousing_depth: float = quantity(
        LENGTH, "Bellhousing depth", symbol="B", at_least=0, group="Between the faces", help="to the gearbox's face"
    )
    bearing_height: float = quantity(
        LENGTH,
        "Height of the bearing, pushed back",
        symbol="b",
        at_least=0,
        group="Gearbox side",
        help="contact face ahead of the gearbox's face, with the bearing fully back",
    )
    bearing_stroke: float = quantity(LENGTH, "Stroke of the bearing", symbol="s", above=0, group="Gearbox side")
    required_travel: float = quantity(
        LENGTH, "Travel that frees the clutch", symbol="w", at_least=0, group="Clutch", help="at the fingers"
    )
    disc_wear: float = quantity(
        LENGTH, "Wear of the disc", symbol="v", at_least=0, group="Clutch", help="thickness lost over its life"
    )
    lever_ratio: float = quantity(
        RATIO,
        "Finger movement over disc wear",
        symbol="i",
        above=0,
        group="Clutch",
        help="diaphragm's lever ratio; 3 to 4 is usual",
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Negative figures say by how much the bearing already presses, or lacks stroke."""

    gap: float = result(LENGTH, "Gap, new disc", symbol="G")
    gap_worn: float = result(LENGTH, "Gap, worn disc", symbol="G_w")
    stroke_left: float = result(LENGTH, "Stroke left, new disc", symbol="r")


def solve(given: Inputs) -> Outputs:
    """Gap G = t + B − b − H; as the disc wears the fingers come back by v·i; stroke left = s − G − w, lengths [m].

    The gap is greatest, and the stroke left least, with a new disc.
    """
    gap = given.adapter_thickness + given.bellhousing_depth - given.bearing_height - given.finger_height
    return Outputs(
        gap=gap,
        gap_worn=gap - given.disc_wear * given.lever_ratio,
        stroke_left=given.bearing_stroke - gap - given.required_travel,
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Three sums."""
    yield WorkingStep("G = t + B - b - H", note="bearing face less finger tips, both behind the engine's rear face")
    yield WorkingStep("G_w = G - v * i", note="fingers come back as the disc wears")
    yield WorkingStep("r = s - G - w")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Nothing presses when the pedal is up, and the stroke is enough."""
    for name, value, detail in (
        ("Gap, new disc", found.gap, "bearing clear of the fingers"),
        ("Gap, worn disc", found.gap_worn, "still clear when the disc is worn"),
        ("Stroke", found.stroke_left, "stroke beyond gap and release travel"),
    ):
        yield Check(name, value >= -_SAME, None, detail, value, LENGTH)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what a bearing without gap does."""
    if found.gap_worn < -_SAME:
        yield "A bearing that presses with the pedal up takes clamp force away: the clutch slips as the disc wears."


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Fingers and bearing as bars over one scale that counts back from the engine's rear face."""
    face = given.adapter_thickness + given.bellhousing_depth
    bearing, worn = face - given.bearing_height, given.finger_height + given.disc_wear * given.lever_ratio
    good = [check.passed for check in checks(given, found)]
    rows = [
        _bar("plate", 0.0, given.adapter_thickness, Tone.METAL),
        _bar("bellhousing", given.adapter_thickness, face, Tone.GEARBOX),
        _bar("clutch to finger tips, new", 0.0, given.finger_height, Tone.ENGINE),
        _bar("fingers when worn", given.finger_height, worn, Tone.ENGINE),
        _bar("gap, new", given.finger_height, bearing, Tone.OK if good[0] and good[1] else Tone.CLASH),
        _bar("bearing, pushed back", bearing, face, Tone.GEARBOX),
        _bar("stroke", bearing - given.bearing_stroke, bearing, Tone.OK if good[2] else Tone.CLASH),
    ]
    limits = [
        Limit(0.0, "engine's rear face"),
        Limit(LENGTH.drawn(given.finger_height - given.required_travel), "fingers when released"),
        Limit(LENGTH.drawn(face), "gearbox's face"),
    ]
    values = [x for row in rows for x in (row.start, row.end)] + [limit.at for limit in limits]
    said = (
        f"Gap {show(found.gap, LENGTH)} with a new disc, {show(found.gap_worn, LENGTH)} worn; stroke left "
        f"{show(found.stroke_left, LENGTH)}."
    )
    axis = Axis.around(f"behind the engine's rear face, {LENGTH.drawn_unit}", values)
    return bars("Release bearing and fingers", said, axis=axis, rows=rows, limits=limits)


def _bar(words: str, start: float, end: float, tone: Tone) -> Bar:
    return Bar(words, LENGTH.drawn(start), LENGTH.drawn(end), show(end - start, LENGTH), tone)


CALCULATION = Calculation(
    title="Release bearing gap",
    question="Does the release bearing stay off the fingers, and has it the stroke to free the clutch?",
    area="Fit and measurement",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "finger_height": 93.5,
        "adapter_thickness": 18,
        "bellhousing_depth": 165,
        "bearing_height": 81,
        "bearing_stroke": 22,
        "required_travel": 8.5,
        "disc_wear": 2,
        "lever_ratio": 3.5,
    },
    cautions=(
        "Measure the fingers with the clutch bolted to torque on a new disc: they move as the cover is drawn down.",
        "Some bearings run in light contact by design: follow the maker, who then limits the preload.",
        "A hydraulic bearing driven past its stroke pushes its piston out: fit a stop, or limit the pedal.",
    ),
    sources=(Source("Line geometry from one datum", "common practice, no source"),),
    limits=("A pushed clutch on one straight axis; tolerances not included.",),
    not_checked=("Bearing and finger diameters, fork angle, and whether the bearing's guide is long enough.",),
)
