"""Whether each hole has its bolt, and the plate its opening: what a person has to say before it may be made."""

from __future__ import annotations

from collections.abc import Iterator

from specs.engine.checks import Check
from specs.engine.units import LENGTH, show
from specs.geometry.discs import Disc
from specs.phrase import phrase
from specs.plate.laid_out import SAME, LayoutHole, PlateInputs, named_holes, over_axis, plate_windows
from specs.plate.sides import name_on_plate
from specs.standards import threads

# Kinds of hole that a bolt goes through, and the name of the check that no plate may be accepted with.
BOLTED = ("clearance", "countersunk")
BOLT_NOT_NAMED = phrase("bolt not named")


def bolts_named(given: PlateInputs) -> Iterator[Check]:
    """A hole of which nobody said which bolt goes through it may be one that no bolt can use."""
    bolted = [(name, hole) for name, hole in named_holes(given) if hole.kind in BOLTED and not over_axis(hole)]
    unnamed = [name for name, hole in bolted if not hole.bolt]
    if unnamed:
        yield Check(
            BOLT_NOT_NAMED,
            False,
            None,
            phrase("which bolt goes through {map}?", map=", ".join(map(name_on_plate, unnamed))),
        )
    barred = [why for name, hole in bolted if hole.bolt and (why := _why_barred(name, hole))]
    if barred:
        yield Check(phrase("Bolts through their holes"), False, None, "; ".join(barred))


def _why_barred(name: str, hole: LayoutHole) -> str:
    """Say why the bolt that is named cannot go through its hole; nothing where it can."""
    try:
        thread = threads.find(hole.bolt)
    except threads.UnknownThread as unknown:
        return f"{name_on_plate(name)}: {unknown}"
    if hole.diameter > thread.major_diameter + SAME:
        return ""
    return phrase(
        "{name_on_plate}: {designation} does not pass through {show}",
        name_on_plate=name_on_plate(name),
        designation=thread.designation,
        show=show(hole.diameter, LENGTH),
    )


def unknown_heads(given: PlateInputs) -> str | None:
    """Say which sunk heads nobody measured: their walls are thinner than those of the bare holes."""
    bare = [
        name for name, hole in named_holes(given) if hole.kind == "countersunk" and hole.head_diameter <= hole.diameter
    ]
    return (
        phrase("how wide the sunk head is was not given for {map}", map=", ".join(map(name_on_plate, bare)))
        if bare
        else None
    )


def opening(given: PlateInputs) -> Iterator[Check]:
    """Crank and clutch pass through the plate: an outline without an opening there is a plate that cannot be fitted."""
    if not given.outline:
        return
    axis = Disc(0.0, 0.0, 0.0)
    found = any(over_axis(hole) for _, hole in named_holes(given))
    found = found or any(window.wall_to(axis) < 0 for window in plate_windows(given))
    detail = (
        phrase("over the crankshaft axis") if found else phrase("none over the crankshaft axis: add it as a window")
    )
    yield Check(phrase("Opening for crank and clutch"), found, None, detail)
