"""Whether a hole pattern was read in another unit: pure over coordinates in mm."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot

from specs.readings import looks_like_other_unit

# No face that a workshop plates is larger, none with more than one hole smaller; common practice, no source.
LARGEST_SPAN = 2_000.0
SMALLEST_SPAN = 20.0

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
        times = "25.4 times" if factor > 1 else "1/25.4 of"
        return (
            f"This pattern spans {size:.4g} mm, about {times} another one of this component: "
            "were inches and mm mixed up?"
        )
    if not known and not SMALLEST_SPAN <= size <= LARGEST_SPAN:
        return f"This pattern spans {size:.4g} mm, which is no size of a face: were inches and mm mixed up?"
    return ""
