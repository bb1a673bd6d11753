"""What a cardan joint stands: the guideline's accelerations, and the angles at which method and needles work."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from specs.engine.calculation import Refused
from specs.engine.checks import Check, at_least, at_most, not_known
from specs.engine.units import ANGLE, ANGULAR_ACCELERATION, show
from specs.phrase import phrase
from specs.standards.publications import Source

TORSIONAL_LIMIT = 400.0  # rad/s², at the pinion
INERTIAL_LIMIT = 1000.0  # rad/s², of the shaft itself
FINE = math.radians(15)  # the sum of squares is good up to here
STEEPEST = math.radians(45)  # no single cardan joint turns further
NEEDLES = math.radians(0.5)  # less, and the needles do not roll
_ROUNDING = 1e-9  # rad

GUIDELINE = Source(
    phrase("SAE AE-7, Universal Joint and Driveshaft Design Manual"),
    "1979",
    phrase("torsional and inertial effects; limits as in published joint guidelines after it"),
    "from memory",
)
LIFE = Source(
    "ISO 281, rolling bearings, rating life: million turns = (C/P)^(10/3) for rollers; a swing counts by its angle",
    "2007",
    phrase("5.3 and 7.3"),
)
LEAST_ANGLE = Source(
    phrase("Half a degree at least at every joint with needle rollers"), phrase("common practice, no source")
)


def refuse_steep(angle: float, name: str, joint: str) -> None:
    """Raise Refused at an input where a joint bends by more than a cardan joint can."""
    if angle > STEEPEST + _ROUNDING:
        raise Refused(
            name,
            phrase(
                "bends {joint} by {show}: a cardan joint turns by 45° at most.", joint=joint, show=show(angle, ANGLE)
            ),
        )


def acceleration(name: str, value: float, limit: float, words: str, angles: Sequence[float]) -> Check:
    """Hold an acceleration against the guideline; beyond 15° it comes out too low, and cannot be said to hold."""
    check = at_most(name, value, limit, words, ANGULAR_ACCELERATION)
    steepest = max(angles)
    if check.passed and steepest > FINE + _ROUNDING:
        return not_known(
            name, phrase("a joint at {show} is beyond the method, which is good up to 15°", show=show(steepest, ANGLE))
        )
    return check


def rating_life(capacity: float, force: float, angle: float, speed: float) -> float:
    """Return the hours that nine needle bearings in ten of such a joint last: L = 10⁶·(C/F)^(10/3)·90°/β turns.

    capacity, force: dynamic rating of one bearing and its load [N]. angle: of the joint [rad]; a bearing swings through
    4β a turn. speed: of the shaft [rad/s].
    """
    turns = 1e6 * (capacity / force) ** (10 / 3) * (math.pi / 2) / angle
    return turns / (speed / math.tau) / 3600


def angles_of(joints: Sequence[tuple[str, float]], stated: float | None) -> Iterator[Check]:
    """Hold each joint's angle against what its needles need, and what its maker states as its greatest."""
    for name, angle in joints:
        yield at_least(
            phrase("Least angle, {name}", name=name),
            angle,
            NEEDLES,
            phrase("needle rollers under half a degree do not roll"),
            ANGLE,
        )
    if stated is None:
        yield not_known(
            phrase("Greatest angle"), phrase("the greatest angle that the joints' maker states is not given")
        )
        return
    for name, angle in joints:
        yield at_most(
            phrase("Greatest angle, {name}", name=name),
            angle,
            stated,
            phrase("against what the joint's maker states"),
            ANGLE,
        )


def life_of(given: Sequence[float | None], hours: float | None) -> Iterator[Check]:
    """Hold the hours that a joint lasts against those wanted, the last of what was given, where any of it was."""
    wanted = given[-1]
    if hours is not None and wanted is not None:
        words = phrase("hours that nine needle bearings in ten last at the mean torque, against those wanted")
        yield at_least(phrase("Joint life"), hours, wanted, words)
    elif any(one is not None for one in given):
        needs = phrase("mean torque, the needle bearings' rating and spacing, and the hours wanted")
        yield not_known(
            phrase("Joint life"), phrase("it takes {needs}, and a joint that bends by half a degree", needs=needs)
        )


def torque_of(torque: float | None, rated: float | None) -> Iterator[Check]:
    """Hold the torque through the joints against what their maker rates them for, where either is given."""
    if torque is None and rated is None:
        return
    if torque is None:
        yield not_known(phrase("Joint torque"), phrase("the torque through the shaft is not given"))
    elif rated is None:
        yield not_known(phrase("Joint torque"), phrase("the torque that the joints are rated for is not given"))
    else:
        yield at_most(
            phrase("Joint torque"), torque, rated, phrase("torque through the shaft, against the joint maker's rating")
        )
