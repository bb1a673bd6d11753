"""What a plate's holes and edges may be off by: for the machinist's sheets. Lengths in mm."""

from __future__ import annotations

from dataclasses import dataclass

from specs.phrase import phrase
from specs.plate.dowel_play import upper_of_h7
from specs.written import num

# Common practice, no source: a dowel's place to a hundredth, a bolt's to a tenth of what its clearance leaves.
_DOWEL_PLACE, _BOLT_PLACE = 0.01, 0.1
# ISO 2768-1, medium (m): linear sizes up to [mm], permissible deviation [mm], from memory.
_MEDIUM = ((6.0, 0.1), (30.0, 0.2), (120.0, 0.3), (400.0, 0.5), (1000.0, 0.8), (2000.0, 1.2))


# What the bores' limits are after, for the sheet that gives them.
STANDARDS = phrase(
    "Bores: H7 after ISO 286-2, H13 after ISO 273 medium, threads 6H after ISO 965. Places: common practice."
)


@dataclass(frozen=True)
class HoleTolerance:
    """How far a hole may be off its place [mm], and the limits of its bore in words."""

    place: float
    bore: str


def tolerance_of(kind: str, diameter: float) -> HoleTolerance:
    """Return the tolerance of a hole of the plate by its kind and diameter [mm].

    >>> tolerance_of("dowel", 12.0)
    HoleTolerance(place=0.01, bore='H7 +0.018/0')
    """
    if kind == "dowel":
        return HoleTolerance(_DOWEL_PLACE, f"H7 +{num(upper_of_h7(diameter), '.3f')}/0")
    if kind == "tapped":
        return HoleTolerance(_BOLT_PLACE, "6H")
    return HoleTolerance(_BOLT_PLACE, "H13")


def general_tolerance(length: float) -> float:
    """Return what an edge, a window or an outline may be off by [mm]: ISO 2768-1, medium.

    >>> general_tolerance(380.0)
    0.5
    """
    return next((deviation for most, deviation in _MEDIUM if length <= most), _MEDIUM[-1][1])
