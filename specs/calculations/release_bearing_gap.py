"""The gap between release bearing and diaphragm fingers, new and worn, and the stroke that is left."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from specs.drawings.bearing_on_fingers import BearingOnFingers, bearing_on_fingers
from specs.drawings.primitives import Drawing
from specs.drawings.sections import sheet
from specs.engine.calculation import Calculation, WorkingStep, choice, quantity, result
from specs.engine.checks import Check, at_least, at_most, not_known, open_where, scant
from specs.engine.units import FORCE, LENGTH, RATIO, show
from specs.phrase import phrase
from specs.standards.publications import Source

_SAME = 1e-9  # m
_LEAST = 0.5e-3  # m, gap and stroke left, pre-filled: common practice
WITH_GAP, PRELOADED, PULL = "gap", "preloaded", "pull"


_between_the_faces = partial(quantity, at_least=0, group="Between the faces")
_gearbox_side = partial(quantity, group="Gearbox side")
_clutch = partial(quantity, group="Clutch")
_limits = partial(quantity, above=0, group="Limits")
_preloaded_bearing = partial(quantity, group="Preloaded bearing", optional=True)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Heights count back from the engine's rear face, the bearing's forward from the gearbox's."""

    kind: str = choice(
        phrase("Kind of bearing"),
        (WITH_GAP, PRELOADED, PULL),
        default=WITH_GAP,
        group="Gearbox side",
        help=phrase(
            "gap: stays off the fingers; preloaded: a spring keeps it on them; pull: hooked behind them, pulls back"
        ),
    )
    finger_height: float = quantity(
        LENGTH,
        phrase("Height of the diaphragm's fingers"),
        symbol="H",
        group="Engine side",
        help=phrase("tips behind the engine's rear face, clutch bolted down with a new disc"),
    )
    adapter_thickness: float = _between_the_faces(LENGTH, phrase("Plate thickness"), symbol="t")
    bellhousing_depth: float = _between_the_faces(
        LENGTH, phrase("Bellhousing depth"), symbol="B", help=phrase("to the gearbox's face")
    )
    bearing_height: float = _gearbox_side(
        LENGTH,
        phrase("Height of the bearing, pushed back"),
        symbol="b",
        at_least=0,
        help=phrase("contact face ahead of the gearbox's face, bearing fully back; of a pull type: fully forward"),
    )
    bearing_stroke: float = _gearbox_side(LENGTH, phrase("Stroke of the bearing"), symbol="s", above=0)
    required_travel: float = _clutch(
        LENGTH, phrase("Travel that frees the clutch"), symbol="w", above=0, help=phrase("at the fingers")
    )
    disc_wear: float = _clutch(
        LENGTH, phrase("Wear of the disc"), symbol="v", at_least=0, help=phrase("thickness lost over its life")
    )
    lever_ratio: float = _clutch(
        RATIO,
        phrase("Finger movement over disc wear"),
        symbol="i",
        above=0,
        help=phrase("diaphragm's lever ratio; 3 to 4 is usual"),
    )
    minimum_gap: float = _limits(
        LENGTH,
        phrase("Least gap or room wanted"),
        symbol="G_min",
        default=0.5,
        help=phrase("0.5 mm: heat, end float and error of reading (common practice)"),
    )
    minimum_stroke_left: float = _limits(
        LENGTH,
        phrase("Least stroke left wanted"),
        symbol="r_min",
        default=0.5,
        help=phrase("0.5 mm: error of reading, and a hydraulic bearing must not reach its end (common practice)"),
    )
    follow: float | None = _preloaded_bearing(
        LENGTH,
        phrase("How far its spring pushes it forward"),
        symbol="f",
        above=0,
        help=phrase("from fully back, by itself"),
    )
    preload: float | None = _preloaded_bearing(FORCE, phrase("Preload on the fingers"), symbol="F_v", at_least=0)
    maximum_preload: float | None = _preloaded_bearing(
        FORCE, phrase("Greatest preload the maker allows"), symbol="F_lim", above=0
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """From the bearing to the fingers; negative where a bearing presses, and where one of a pull type reaches past."""

    gap: float = result(LENGTH, phrase("Gap, new disc"), symbol="G")
    gap_worn: float = result(LENGTH, phrase("Gap, worn disc"), symbol="G_w")
    stroke_left: float = result(LENGTH, phrase("Stroke left, new disc"), symbol="r")


def solve(given: Inputs) -> Outputs:
    """Gap G = t + B − b − H; as the disc wears the fingers come back by v·i; stroke left = s − G − w, lengths [m].

    The gap is greatest, and the stroke left least, with a new disc. A pull type's fingers go forward by v·i, and its
    bearing must reach them there: G_w = G + v·i; it is pulled back from them: stroke left = s + G − w.
    """
    gap = given.adapter_thickness + given.bellhousing_depth - given.bearing_height - given.finger_height
    wear, turn = given.disc_wear * given.lever_ratio, _turn(given)
    return Outputs(
        gap=gap, gap_worn=gap - turn * wear, stroke_left=given.bearing_stroke - turn * gap - given.required_travel
    )


def _turn(given: Inputs) -> int:
    """1 for a bearing that pushes, −1 for one that pulls."""
    return -1 if given.kind == PULL else 1


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Three sums."""
    yield WorkingStep(
        "G = t + B - b - H", note=phrase("bearing face less finger tips, both behind the engine's rear face")
    )
    if given.kind == PULL:
        yield WorkingStep("G_w = G + v * i", note=phrase("fingers go forward as the disc wears"))
        yield WorkingStep("r = s + G - w", note=phrase("back from where it hooks in"))
    else:
        yield WorkingStep("G_w = G - v * i", note=phrase("fingers come back as the disc wears"))
        yield WorkingStep("r = s - G - w")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """What each kind must do with the pedal up, new and worn; then the stroke."""
    rows = {
        WITH_GAP: (
            (phrase("Gap, new disc"), found.gap, phrase("bearing clear of the fingers, against the least gap wanted")),
            (
                phrase("Gap, worn disc"),
                found.gap_worn,
                phrase("still clear when the disc is worn, against the least gap wanted"),
            ),
        ),
        PRELOADED: (
            (phrase("Room to go back, worn disc"), found.gap_worn, phrase("fingers come back, the bearing with them")),
        ),
        PULL: (
            (
                phrase("Reaches the fingers, worn disc"),
                -found.gap_worn,
                phrase("fingers go forward, the bearing with them"),
            ),
        ),
    }[given.kind]
    for name, value, detail in rows:
        check = at_least(name, value, given.minimum_gap, detail, LENGTH)
        unworn = "worn" in name and not given.disc_wear
        flat = "worn" in name and given.lever_ratio < 1
        yield open_where(
            check,
            phrase("the wear of the disc was given as 0: every disc wears") if unworn else None,
            phrase("a lever ratio under 1 is none: fingers move further than the disc wears") if flat else None,
            scant(given.minimum_gap, _LEAST),
        )
    if given.kind == PRELOADED:
        yield from _preloaded(given, found)
    words = phrase("stroke beyond reaching the fingers and release travel, against the least wanted")
    check = at_least(phrase("Stroke"), found.stroke_left, given.minimum_stroke_left, words, LENGTH)
    yield open_where(check, scant(given.minimum_stroke_left, _LEAST))


def _preloaded(given: Inputs, found: Outputs) -> Iterator[Check]:
    if given.follow is None:
        yield not_known(
            phrase("On the fingers, new disc"), phrase("how far the spring pushes the bearing forward is not given")
        )
    else:
        words = phrase("how far the spring pushes the bearing forward, against the way to the fingers")
        yield at_least(phrase("On the fingers, new disc"), given.follow, found.gap, words, LENGTH)
    if given.preload is None or given.maximum_preload is None:
        yield not_known(phrase("Preload"), phrase("the preload, or the greatest that the maker allows, is not given"))
    else:
        yield at_most(
            phrase("Preload"),
            given.preload,
            given.maximum_preload,
            phrase("preload, against what the maker allows"),
            FORCE,
        )


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what a bearing does that cannot go where the fingers are."""
    past = found.gap_worn if given.kind == PULL else -found.gap_worn
    if past > _SAME:
        yield {
            PULL: phrase(
                "A bearing that cannot follow the fingers forward pulls the clutch open: it slips as the disc wears."
            )
        }.get(
            given.kind,
            phrase(
                "A bearing that presses with the pedal up takes clamp force away: the clutch slips as the disc wears."
            ),
        )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Fingers and bearing cut along the axis, with the gap between them and where each goes."""
    face, turn = given.adapter_thickness + given.bellhousing_depth, _turn(given)
    bearing = face - given.bearing_height
    failed = {check.name for check in checks(given, found) if check.passed is False}
    where = {PULL: phrase("bearing fully forward")}.get(given.kind, phrase("bearing fully back"))
    shown = BearingOnFingers(
        plate=given.adapter_thickness,
        gearbox_face=face,
        fingers=given.finger_height,
        worn=given.finger_height + turn * given.disc_wear * given.lever_ratio,
        released=given.finger_height - turn * given.required_travel,
        bearing=bearing,
        driven=bearing - turn * given.bearing_stroke,
        gap=phrase("gap {show}, {where}", show=show(found.gap, LENGTH), where=where),
        fails=bool(failed - {"Stroke"}),
        falls_short="Stroke" in failed,
    )
    said = phrase(
        "Gap {show} with a new disc, {show_2} worn; stroke left {show_3}.",
        show=show(found.gap, LENGTH),
        show_2=show(found.gap_worn, LENGTH),
        show_3=show(found.stroke_left, LENGTH),
    )
    return sheet(phrase("Release bearing and fingers"), said, list(bearing_on_fingers(shown)))


CALCULATION = Calculation(
    title=phrase("Release bearing gap"),
    question=phrase("Does the release bearing stay off the fingers, and has it the stroke to free the clutch?"),
    area=phrase("Fit and measurement"),
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
        phrase(
            "Measure the fingers with the clutch bolted to torque on a new disc: they move as the cover is drawn down."
        ),
        phrase("A hydraulic bearing driven past its stroke pushes its piston out: fit a stop, or limit the pedal."),
    ),
    sources=(
        Source(phrase("Line geometry from one datum"), phrase("common practice, no source")),
        Source(phrase("Least gap and least stroke left 0.5 mm"), phrase("common practice, no source")),
    ),
    limits=(phrase("All on one straight axis."),),
    revision=5,
    not_checked=(phrase("Bearing and finger diameters, fork angle, and whether the bearing's guide is long enough."),),
)
