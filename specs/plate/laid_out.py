"""What is laid out on a plate: its holes, outline and windows as they are given, placed, and told what cannot be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from itertools import combinations, pairwise

from specs.engine.calculation import Refused, choice, quantity, records, text
from specs.engine.units import ANGLE, DENSITY, LENGTH
from specs.geometry.discs import Disc
from specs.geometry.offsets import moved_out
from specs.geometry.outlines import crosses_itself, signed_area
from specs.geometry.points import Point, turned
from specs.geometry.windows import Window, area_set_aside, notched, windows_of
from specs.phrase import phrase

ENGINE, GEARBOX = "engine", "gearbox"
KINDS = ("clearance", "tapped", "countersunk", "dowel")
# Two lengths nearer than this are one: 13 mm − 10 mm is not under a limit of 3 mm.
SAME = 1e-9
# Crank flanges and clutches are wider than this [m]: a narrower hole on the axis is a hole on the datum (common
# practice, no source).
_LEAST_OPENING = 0.05
_MOST_HOLES = 200
_MOST_CORNERS = 400


@dataclass(frozen=True, kw_only=True)
class LayoutHole:
    """A hole as seen from the gearbox side; the head is that of a sunk or seated screw, 0 for none."""

    name: str = text(phrase("Name"))
    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")
    diameter: float = quantity(LENGTH, phrase("Diameter"), above=0)
    kind: str = choice(phrase("Kind"), KINDS)
    head_diameter: float = quantity(LENGTH, phrase("Head diameter"), default=0, at_least=0)
    bolt: str = text(phrase("Bolt through it"), default="")


@dataclass(frozen=True, kw_only=True)
class Corner:
    """A corner of the plate's outline."""

    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")


@dataclass(frozen=True, kw_only=True)
class WindowRow:
    """A row of a window: its middle and diameter, or one of its corners; rows of one name are one window."""

    window: str = text(phrase("Window"), default="window")
    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")
    diameter: float = quantity(LENGTH, phrase("Diameter"), default=0, at_least=0)


@dataclass(frozen=True, kw_only=True)
class PlateInputs:
    """Holes, outline and windows, all seen from the gearbox side, with the origin on the crankshaft axis."""

    engine: tuple[LayoutHole, ...] = records(
        LayoutHole, phrase("Engine's holes"), group="Holes", help=phrase("seen from the gearbox side")
    )
    gearbox: tuple[LayoutHole, ...] = records(
        LayoutHole, phrase("Gearbox's holes"), group="Holes", help=phrase("seen from the gearbox side")
    )
    rotation: float = quantity(
        ANGLE,
        phrase("Gearbox turned by"),
        default=0,
        at_least=-360,
        at_most=360,
        group="Holes",
        help=phrase("counter-clockwise, seen from the gearbox side"),
    )
    thickness: float = quantity(LENGTH, phrase("Plate thickness"), symbol="t", above=0, group="Plate")
    outline: tuple[Corner, ...] = records(
        Corner, phrase("Outline"), default=(), at_least=0, group="Plate", help=phrase("in order")
    )
    outline_side: str = choice(
        phrase("Outline is that of the"),
        (ENGINE, GEARBOX),
        default=ENGINE,
        group="Plate",
        help=phrase("the gearbox's turns with the gearbox"),
    )
    outline_offset: float = quantity(
        LENGTH, phrase("Outline moved outwards by"), default=0, group="Plate", help=phrase("negative: inwards")
    )
    windows: tuple[WindowRow, ...] = records(
        WindowRow,
        phrase("Windows"),
        default=(),
        at_least=0,
        group="Plate",
        help=phrase(
            "starter, exhaust: one row with a diameter is round, two rows are opposite corners, more go round it"
        ),
    )
    density: float = quantity(
        DENSITY,
        phrase("Density"),
        symbol="rho",
        default=2700,
        above=0,
        group="Plate",
        help=phrase("aluminium 2700, steel 7850 kg/m³"),
    )
    ligament: float = quantity(
        LENGTH,
        phrase("Least wall between holes"),
        symbol="b_min",
        at_least=1,
        group=phrase("Limits"),
        help=phrase(
            "4 mm and more: a thinner wall breaks or bulges at the drill (common practice); heads count as holes"
        ),
    )
    edge: float | None = quantity(
        LENGTH,
        phrase("Least wall to the edge"),
        symbol="e_min",
        optional=True,
        at_least=1,
        group=phrase("Limits"),
        help=phrase("4 mm and more, as between holes (common practice); without it the edge is not judged"),
    )


def demand_holes(given: PlateInputs) -> None:
    for name, holes in (("engine", given.engine), ("gearbox", given.gearbox)):
        if len(holes) > _MOST_HOLES:
            raise Refused(
                name,
                phrase(
                    "has {holes} holes; a plate of up to {MOST_HOLES} holes a side is worked out.",
                    holes=len(holes),
                    MOST_HOLES=_MOST_HOLES,
                ),
            )
        places = sorted(hole.x for hole in holes)
        if all(b - a >= SAME for a, b in pairwise(places)):
            continue
        for one, other in combinations(holes, 2):
            if math.hypot(one.x - other.x, one.y - other.y) < SAME and abs(one.diameter - other.diameter) < SAME:
                raise Refused(
                    name,
                    phrase(
                        '"{name}" and "{name_2}" are the same hole twice: leave one out.',
                        name=one.name,
                        name_2=other.name,
                    ),
                )


def named_holes(given: PlateInputs) -> list[tuple[str, LayoutHole]]:
    """All holes under the names of the table, as the faces were read: turning changes neither kind nor reach."""
    engine = [(f"engine:{hole.name}", hole) for hole in given.engine]
    return engine + [(f"gearbox:{hole.name}", hole) for hole in given.gearbox]


def placed_holes(given: PlateInputs) -> list[tuple[str, LayoutHole]]:
    """All holes under the names of the table, the gearbox's turned."""
    return [
        (name, hole if name.startswith(f"{ENGINE}:") else _turned(hole, given.rotation))
        for name, hole in named_holes(given)
    ]


def _turned(hole: LayoutHole, angle: float) -> LayoutHole:
    if not angle:
        return hole
    x, y = turned((hole.x, hole.y), angle)
    return replace(hole, x=x, y=y)


def reach_of(hole: LayoutHole) -> Disc:
    return Disc(hole.x, hole.y, max(hole.diameter, hole.head_diameter) / 2)


def plate_outline(given: PlateInputs) -> tuple[Point, ...]:
    """Return the plate's own outline: the face's, less the windows that reach over its edge, such as a starter's nose.

    Raises Refused where a window would cut the plate in two.
    """
    return _cut(whole_outline(given), every_window(given))[0]


def plate_windows(given: PlateInputs) -> tuple[Window, ...]:
    """Return the windows with metal all round, in the order of their first rows; others are cut into the outline."""
    return _cut(whole_outline(given), every_window(given))[1]


def whole_outline(given: PlateInputs) -> tuple[Point, ...]:
    """Return the outline of a face, turned with the gearbox where it is the gearbox's, moved out."""
    corners = tuple((corner.x, corner.y) for corner in given.outline)
    return _whole(corners, given.rotation if given.outline_side == GEARBOX else 0.0, given.outline_offset)


def every_window(given: PlateInputs) -> tuple[Window, ...]:
    """Return all windows by name, those that reach over the edge included."""
    return _windows(tuple((row.window, row.x, row.y, row.diameter) for row in given.windows))


# Bands solve a plate hundreds of times with its holes moved a little and its outline as it is: that is worked out once.
@lru_cache(maxsize=256)
def _cut(whole: tuple[Point, ...], windows: tuple[Window, ...]) -> tuple[tuple[Point, ...], tuple[Window, ...]]:
    over = [window for window in windows if whole and window.wall_to_edge(whole) <= 0]
    try:
        return (notched(whole, over) if over else whole), tuple(window for window in windows if window not in over)
    except ValueError as wrong:
        raise Refused("windows", str(wrong)) from None


@lru_cache(maxsize=256)
def _whole(corners: tuple[Point, ...], turn: float, offset: float) -> tuple[Point, ...]:
    _demand_outline(corners)
    placed = tuple(turned(corner, turn) for corner in corners) if turn else corners
    if not placed or not offset:
        return placed
    try:
        return moved_out(placed, offset)
    except ValueError as wrong:
        raise Refused("outline_offset", str(wrong)) from None


def _demand_outline(corners: Sequence[Point]) -> None:
    if 0 < len(corners) < 3:
        raise Refused("outline", phrase("needs three corners or more."))
    if len(corners) > _MOST_CORNERS:
        raise Refused(
            "outline",
            phrase(
                "has {corners} corners; up to {MOST_CORNERS} are worked out.",
                corners=len(corners),
                MOST_CORNERS=_MOST_CORNERS,
            ),
        )
    if corners and (crosses_itself(corners) or signed_area(corners) == 0):
        raise Refused(
            "outline", phrase("crosses or touches itself: give the corners in order round the plate, each once.")
        )


@lru_cache(maxsize=256)
def _windows(rows: tuple[tuple[str, float, float, float], ...]) -> tuple[Window, ...]:
    if len(rows) > _MOST_CORNERS:
        raise Refused(
            "windows",
            phrase("has {rows} rows; up to {MOST_CORNERS} are worked out.", rows=len(rows), MOST_CORNERS=_MOST_CORNERS),
        )
    try:
        return tuple(windows_of(list(rows)))
    except ValueError as wrong:
        raise Refused("windows", str(wrong)) from None


def demand_windows(windows: Sequence[Window]) -> None:
    for one, other in combinations(windows, 2):
        if one.wall_to_window(other) <= 0:
            raise Refused(
                "windows",
                phrase("“{name}” and “{name_2}” overlap: make one window of them.", name=one.name, name_2=other.name),
            )


Beside = tuple[float, tuple[str, str]]


def beside_windows(given: PlateInputs, windows: Sequence[Window], outline: Sequence[Point]) -> Iterator[Beside]:
    for window in windows:
        for name, hole in placed_holes(given):
            yield window.wall_to(reach_of(hole)), (window.name, name)
        if outline:
            yield window.wall_to_edge(outline), (window.name, "outline")
    for one, other in combinations(windows, 2):
        yield one.wall_to_window(other), (one.name, other.name)


def plate_area(given: PlateInputs) -> float:
    holes = [Disc(h.x, h.y, h.diameter / 2) for _, h in placed_holes(given)]
    return area_set_aside(plate_outline(given), holes, plate_windows(given))


def over_axis(hole: LayoutHole) -> bool:
    """Whether a hole is the opening for crank and clutch, not one for a bolt."""
    wide = hole.kind == "clearance" and hole.diameter >= _LEAST_OPENING
    return wide and math.hypot(hole.x, hole.y) < hole.diameter / 2
