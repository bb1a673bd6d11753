"""Whether reamed dowel holes placed to readings would take their pins.

A pair of pins goes in while the distance of the holes is off by no more than half the play of each. Greatest play of
a pin m6 (ISO 8734) in a hole H7 (ISO 286-2, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import hypot

from specs.phrase import phrase
from specs.plate.machining import FaceHole
from specs.standards import dowels
from specs.written import num

# Nominal diameters up to [mm], upper deviation of H7 [mm]: ISO 286-2, table 6, from memory.
_H7 = (
    (3, 0.010),
    (6, 0.012),
    (10, 0.015),
    (18, 0.018),
    (30, 0.021),
    (50, 0.025),
    (80, 0.030),
    (120, 0.035),
    (180, 0.040),
    (250, 0.046),
    (315, 0.052),
    (400, 0.057),
    (500, 0.063),
)


def upper_of_h7(diameter: float) -> float:
    """Return the upper deviation of a hole H7 of a nominal diameter [mm], 0 beyond the table."""
    return next((deviation for most, deviation in _H7 if diameter <= most), 0.0)


def greatest_play(diameter: float) -> float:
    """Return the greatest play of a pin m6 in a hole H7 of a nominal diameter [mm], 0 where there is no such pin.

    >>> round(greatest_play(12.0), 3)
    0.011
    """
    pin = dowels.nearest(diameter / 1000)
    return max(upper_of_h7(diameter) - pin.lower * 1000, 0.0) if pin else 0.0


def placed_worse_than_play(holes: Sequence[FaceHole]) -> str:
    """Say which two dowels of a face are not placed well enough for both pins to go in; empty where all are.

    Dowels of which nobody said how well they are placed are not placed well enough.
    """
    dowels_here = [hole for hole in holes if hole.kind == "dowel"]
    for one, other in combinations(dowels_here, 2):
        play = (greatest_play(one.diameter) + greatest_play(other.diameter)) / 2
        both = phrase("{name} and {name_2}", name=one.name, name_2=other.name)
        if one.uncertainty is None or other.uncertainty is None:
            return phrase(
                "{both} are placed to nobody said how much, their play is {num} mm", both=both, num=num(play, ".3f")
            )
        off = hypot(one.uncertainty, other.uncertainty)
        if off > play:
            return phrase(
                "{both} are apart to ± {num} mm, their play is {num_2} mm",
                both=both,
                num=num(off, ".3f"),
                num_2=num(play, ".3f"),
            )
    return ""
