"""What a hole pattern is asked about before it is kept: pure over coordinates in mm."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations
from math import hypot
from typing import Any

from specs.engine.readings import looks_like_other_unit
from specs.phrase import phrase
from specs.written import num

# No face that a workshop plates is larger, none with more than one hole smaller; common practice, no source.
LARGEST_SPAN = 2_000.0
SMALLEST_SPAN = 20.0
# A circle fitted to less of its edge moves far for a small error of a point; common practice, no source.
LEAST_ARC = 90.0
# A narrower hole round the origin is no register [mm]; a middle further off than this is no centring [mm]; an origin
# that moved further than this against the dowels is another one [mm]. Common practice, no source.
REGISTER, REGISTER_OFF, ORIGIN_OFF = 50.0, 0.05, 0.5

Places = Sequence[Mapping[str, float]]


def span(holes: Places) -> float:
    """The diagonal of the rectangle around the holes [mm]."""
    xs, ys = [hole["x"] for hole in holes], [hole["y"] for hole in holes]
    return hypot(max(xs) - min(xs), max(ys) - min(ys))


def span_doubt(holes: Places, others: Sequence[Places]) -> str:
    """The question to ask about a pattern that is 25.4 times off the component's others, or off any face; else ""."""
    if len(holes) < 2:
        return ""
    size = span(holes)
    known = [span(other) for other in others if len(other) > 1]
    factor = looks_like_other_unit(size, known)
    if factor is not None:
        times = phrase("25.4 times") if factor > 1 else phrase("1/25.4 of")
        return phrase(
            "This pattern spans {num} mm, about {times} another one of this component: were inches and mm mixed up?",
            num=num(size, ".4g"),
            times=times,
        )
    if not known and not SMALLEST_SPAN <= size <= LARGEST_SPAN:
        return phrase(
            "This pattern spans {num} mm, which is no size of a face: were inches and mm mixed up?",
            num=num(size, ".4g"),
        )
    return ""


def overlap_doubts(holes: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """A question for every two holes of one face that run into one another."""
    for one, other in combinations(sorted(holes, key=lambda hole: str(hole["name"])), 2):
        apart = hypot(one["x"] - other["x"], one["y"] - other["y"])
        if apart < (one["diameter"] + other["diameter"]) / 2 - 1e-9:
            named = phrase("{one} and {other}", one=one["name"], other=other["name"])
            yield phrase(
                "{named} run into one another, {num} mm apart: is it one hole, read twice?",
                named=named,
                num=num(apart + 0.0, ".3g"),
            )


def register_doubts(holes: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """A question for every register or opening round the origin whose middle is off it: the axis is in its middle."""
    for hole in holes:
        off = hypot(hole["x"], hole["y"])
        known = max(hole.get("uncertainty") or 0.0, REGISTER_OFF)
        if hole["kind"] == "clearance" and hole["diameter"] >= REGISTER and known < off < hole["diameter"] / 2:
            yield phrase(
                "{hole}, round the origin, has its middle {num} mm off it: is the origin on the "
                "crankshaft's axis? Move the datum to the register, or keep it where this is no register.",
                hole=hole["name"],
                num=num(off, ".3g"),
            )


def origin_doubt(holes: Sequence[Mapping[str, Any]], other: Sequence[Mapping[str, Any]]) -> str:
    """The question to ask where the origin stands otherwise to the dowels than in another pattern of the face."""
    here, there = (
        {hole["name"]: hypot(hole["x"], hole["y"]) for hole in one if hole["kind"] == "dowel"} for one in (holes, other)
    )
    off = {name: abs(here[name] - there[name]) for name in sorted(here.keys() & there.keys())}
    name = max(off, key=lambda one: off[one], default="")
    if not name or off[name] <= ORIGIN_OFF:
        return ""
    moved = phrase("{num} mm nearer to, or farther from, the origin", num=num(off[name], ".3g"))
    return phrase("{name} is {moved} than when this face was measured before.", name=name, moved=moved)


def arc_doubts(holes: Sequence[Mapping[str, Any]]) -> Iterator[str]:
    """A question for every hole whose points (`readings` with their `arc_deg`) cover too little of its edge."""
    for hole in holes:
        arc = hole.get("readings", {}).get("arc_deg", LEAST_ARC)
        if arc < LEAST_ARC:
            yield phrase(
                "{hole} was touched on {arc}° of its edge: its middle and its diameter of "
                "{num} mm are hardly known. Touch it all round, or keep it as a rough guess?",
                hole=hole["name"],
                arc=f"{arc:.0f}",
                num=num(hole["diameter"], ".4g"),
            )
