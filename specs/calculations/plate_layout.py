"""Both hole patterns on one plate: walls between holes and to the edge, clashes, mass, and the hole table."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from specs.drawings.annotation import CentreMark
from specs.drawings.labels import LabelSpot, set_aside
from specs.drawings.primitives import Circle, Drawing, Item, Line, Polyline, Role, Stroke, Text, Tone, bounds_of
from specs.engine.calculation import (
    Calculation,
    Refused,
    WorkingStep,
    choice,
    name_list_result,
    pair_list_result,
    quantity,
    records,
    result,
    table_result,
    text,
    text_result,
)
from specs.engine.checks import Check, at_least
from specs.engine.sources import Source
from specs.engine.units import (
    ANGLE,
    AREA,
    DENSITY,
    LENGTH,
    MASS,
    show,
)
from specs.geometry.discs import Disc, edge_wall, ligament
from specs.geometry.offsets import moved_out
from specs.geometry.outlines import crosses_itself, signed_area
from specs.geometry.points import Point, turned
from specs.geometry.windows import Window, area_set_aside, notched, windows_of

ENGINE, GEARBOX = "engine", "gearbox"
KINDS = ("clearance", "tapped", "countersunk", "dowel")
# Two lengths nearer than this are one: 13 mm − 10 mm is not under a limit of 3 mm.
_SAME = 1e-9
# Crank flanges and clutches are wider than this [m]: a narrower hole on the axis is a hole on the datum (common
# practice, no source).
_LEAST_OPENING = 0.05
# Kinds of hole that a bolt goes through, and the name of the check that no plate may be accepted with.
BOLTED = ("clearance", "countersunk")
BOLT_NOT_NAMED = "bolt not named"
_MOST_HOLES = 200
_MOST_CORNERS = 400


@dataclass(frozen=True, kw_only=True)
class LayoutHole:
    """A hole as seen from the gearbox side; the head is that of a sunk or seated screw, 0 for none."""

    name: str = text("Name")
    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")
    diameter: float = quantity(LENGTH, "Diameter", above=0)
    kind: str = choice("Kind", KINDS)
    head_diameter: float = quantity(LENGTH, "Head diameter", default=0, at_least=0)
    bolt: str = text("Bolt through it", default="")


@dataclass(frozen=True, kw_only=True)
class Corner:
    """A corner of the plate's outline."""

    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")


@dataclass(frozen=True, kw_only=True)
class WindowRow:
    """A row of a window: its middle and diameter, or one of its corners; rows of one name are one window."""

    window: str = text("Window", default="window")
    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")
    diameter: float = quantity(LENGTH, "Diameter", default=0, at_least=0)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Everything is seen from the gearbox side, with the origin on the crankshaft axis."""

    engine: tuple[LayoutHole, ...] = records(
        LayoutHole, "Engine's holes", group="Holes", help="seen from the gearbox side"
    )
    gearbox: tuple[LayoutHole, ...] = records(
        LayoutHole, "Gearbox's holes", group="Holes", help="seen from the gearbox side"
    )
    rotation: float = quantity(
        ANGLE,
        "Gearbox turned by",
        default=0,
        at_least=-360,
        at_most=360,
        group="Holes",
        help="counter-clockwise, seen from the gearbox side",
    )
    thickness: float = quantity(LENGTH, "Plate thickness", symbol="t", above=0, group="Plate")
    outline: tuple[Corner, ...] = records(Corner, "Outline", default=(), at_least=0, group="Plate", help="in order")
    outline_side: str = choice(
        "Outline is that of the",
        (ENGINE, GEARBOX),
        default=ENGINE,
        group="Plate",
        help="the gearbox's turns with the gearbox",
    )
    outline_offset: float = quantity(
        LENGTH, "Outline moved outwards by", default=0, group="Plate", help="negative: inwards"
    )
    windows: tuple[WindowRow, ...] = records(
        WindowRow,
        "Windows",
        default=(),
        at_least=0,
        group="Plate",
        help="starter, exhaust: one row with a diameter is round, two rows are opposite corners, more go round it",
    )
    density: float = quantity(
        DENSITY, "Density", symbol="rho", default=2700, above=0, group="Plate", help="aluminium 2700, steel 7850 kg/m³"
    )
    ligament: float = quantity(
        LENGTH, "Least wall between holes", symbol="b_min", at_least=0, group="Limits", help="heads count as holes"
    )
    edge: float | None = quantity(
        LENGTH, "Least wall to the edge", symbol="e_min", optional=True, at_least=0, group="Limits"
    )


@dataclass(frozen=True, kw_only=True)
class Row:
    """A line of the hole table; `mirrored_x` is what a machinist sees who faces the engine side."""

    name: str = text_result("Hole")
    kind: str = text_result("Kind")
    diameter: float = result(LENGTH, "Diameter")
    x: float = result(LENGTH, "x, gearbox side up")
    y: float = result(LENGTH, "y")
    mirrored_x: float = result(LENGTH, "x, engine side up")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """A negative wall means that holes overlap, or break the edge."""

    smallest_ligament: float = result(LENGTH, "Smallest wall between holes", symbol="b")
    smallest_pair: tuple[str, ...] = name_list_result("Between")
    clashes: tuple[tuple[str, str], ...] = pair_list_result("Walls under the limit")
    smallest_edge: float | None = result(LENGTH, "Smallest wall to the edge", symbol="e", optional=True)
    smallest_window: float | None = result(LENGTH, "Smallest wall beside a window", symbol="w", optional=True)
    window_pair: tuple[str, ...] | None = name_list_result("Window and what is nearest to it", optional=True)
    mass: float | None = result(MASS, "Mass", symbol="m", optional=True)
    table: tuple[Row, ...] = table_result(Row, "Hole table")


def solve(given: Inputs) -> Outputs:
    """Wall b = distance of centres less both radii (of hole or head, the larger); mass = ρ t (outline less holes).

    Lengths [m], density [kg/m³]. The area is exact for holes that overlap one another, a window or the edge. Raises
    Refused for identical holes in one list, an outline that crosses itself or has no area or cannot be moved so far,
    windows that overlap or cut the plate in two, and more holes than a plate has.
    """
    _demand_holes(given)
    placed = _placed(given)
    walls = [(ligament(_reach(a), _reach(b)), (m, n)) for (m, a), (n, b) in combinations(placed, 2)]
    smallest, pair = min(walls)
    outline, windows = plate_outline(given), plate_windows(given)
    _demand_windows(windows)
    set_aside = min(_set_aside_windows(given, windows, outline), default=None)
    return Outputs(
        smallest_ligament=smallest,
        smallest_pair=pair,
        clashes=tuple(names for wall, names in walls if wall < given.ligament - _SAME),
        smallest_edge=min(edge_wall(outline, _reach(hole)) for _, hole in placed) if outline else None,
        smallest_window=set_aside[0] if set_aside else None,
        window_pair=set_aside[1] if set_aside else None,
        mass=_area(given) * given.thickness * given.density if outline else None,
        table=tuple(
            Row(name=name, kind=hole.kind, diameter=hole.diameter, x=hole.x, y=hole.y, mirrored_x=-hole.x)
            for name, hole in placed
        ),
    )


def _demand_holes(given: Inputs) -> None:
    for name, holes in (("engine", given.engine), ("gearbox", given.gearbox)):
        if len(holes) > _MOST_HOLES:
            raise Refused(name, f"has {len(holes)} holes; a plate of up to {_MOST_HOLES} holes a side is worked out.")
        for a, b in combinations(holes, 2):
            if math.hypot(a.x - b.x, a.y - b.y) < _SAME and abs(a.diameter - b.diameter) < _SAME:
                raise Refused(name, f'"{a.name}" and "{b.name}" are the same hole twice: leave one out.')


def _placed(given: Inputs) -> list[tuple[str, LayoutHole]]:
    """All holes under the names of the table, the gearbox's turned."""
    engine = [(f"engine:{hole.name}", hole) for hole in given.engine]
    return engine + [(f"gearbox:{hole.name}", _turned(hole, given.rotation)) for hole in given.gearbox]


def _turned(hole: LayoutHole, angle: float) -> LayoutHole:
    x, y = turned((hole.x, hole.y), angle) if angle else (hole.x, hole.y)
    return replace(hole, x=x, y=y)


def _reach(hole: LayoutHole) -> Disc:
    return Disc(hole.x, hole.y, max(hole.diameter, hole.head_diameter) / 2)


def plate_outline(given: Inputs) -> tuple[Point, ...]:
    """Return the plate's own outline: the face's, less the windows that reach over its edge, such as a starter's nose.

    Raises Refused where a window would cut the plate in two.
    """
    whole = whole_outline(given)
    over = [window for window in every_window(given) if whole and window.wall_to_edge(whole) <= 0]
    try:
        return notched(whole, over) if over else whole
    except ValueError as wrong:
        raise Refused("windows", str(wrong)) from None


def whole_outline(given: Inputs) -> tuple[Point, ...]:
    """Return the outline of a face, turned with the gearbox where it is the gearbox's, moved out."""
    corners = [(corner.x, corner.y) for corner in given.outline]
    _demand_outline(corners)
    if given.outline_side == GEARBOX:
        corners = [turned(corner, given.rotation) for corner in corners]
    if not corners or not given.outline_offset:
        return tuple(corners)
    try:
        return moved_out(corners, given.outline_offset)
    except ValueError as wrong:
        raise Refused("outline_offset", str(wrong)) from None


def _demand_outline(corners: list[Point]) -> None:
    if 0 < len(corners) < 3:
        raise Refused("outline", "needs three corners or more.")
    if len(corners) > _MOST_CORNERS:
        raise Refused("outline", f"has {len(corners)} corners; up to {_MOST_CORNERS} are worked out.")
    if corners and (crosses_itself(corners) or signed_area(corners) == 0):
        raise Refused("outline", "crosses or touches itself: give the corners in order round the plate, each once.")


def plate_windows(given: Inputs) -> tuple[Window, ...]:
    """Return the windows with metal all round, in the order of their first rows; others are cut into the outline."""
    whole = whole_outline(given)
    return tuple(window for window in every_window(given) if not whole or window.wall_to_edge(whole) > 0)


def every_window(given: Inputs) -> tuple[Window, ...]:
    """Return all windows by name, those that reach over the edge included."""
    if len(given.windows) > _MOST_CORNERS:
        raise Refused("windows", f"has {len(given.windows)} rows; up to {_MOST_CORNERS} are worked out.")
    try:
        return windows_of([(row.window, row.x, row.y, row.diameter) for row in given.windows])
    except ValueError as wrong:
        raise Refused("windows", str(wrong)) from None


def _demand_windows(windows: Sequence[Window]) -> None:
    for one, other in combinations(windows, 2):
        if one.wall_to_window(other) <= 0:
            raise Refused("windows", f"“{one.name}” and “{other.name}” overlap: make one window of them.")


Beside = tuple[float, tuple[str, str]]


def _set_aside_windows(given: Inputs, windows: Sequence[Window], outline: Sequence[Point]) -> Iterator[Beside]:
    for window in windows:
        for name, hole in _placed(given):
            yield window.wall_to(_reach(hole)), (window.name, name)
        if outline:
            yield window.wall_to_edge(outline), (window.name, "outline")
    for one, other in combinations(windows, 2):
        yield one.wall_to_window(other), (one.name, other.name)


def _area(given: Inputs) -> float:
    holes = [Disc(h.x, h.y, h.diameter / 2) for _, h in _placed(given)]
    return area_set_aside(plate_outline(given), holes, plate_windows(given))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """The smallest wall, and the mass where there is an outline."""
    held = dict(_placed(given))
    one, other = (_reach(held[name]) for name in found.smallest_pair)
    pair = {"x_1": one.x, "y_1": one.y, "r_1": one.radius, "x_2": other.x, "y_2": other.y, "r_2": other.radius}
    values = {symbol: (value, LENGTH) for symbol, value in pair.items()}
    yield WorkingStep("b = hypot(x_1 - x_2, y_1 - y_2) - r_1 - r_2", values, " and ".join(found.smallest_pair))
    if found.mass is not None:
        yield WorkingStep(
            "m = A * t * rho", {"A": (_area(given), AREA)}, "A: outline less the through diameters and windows"
        )


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the walls with the limits that were given; ask for every bolt, and for the opening over the crank."""
    pair = " and ".join(found.smallest_pair)
    yield at_least("Wall between holes", _level(found.smallest_ligament, given.ligament), given.ligament, pair, LENGTH)
    if found.smallest_window is not None and found.window_pair is not None:
        set_aside, wall = " and ".join(found.window_pair), _level(found.smallest_window, given.ligament)
        yield at_least("Wall beside a window", wall, given.ligament, set_aside, LENGTH)
    if given.edge is not None and found.smallest_edge is not None:
        detail = "nearest hole or head to the outline"
        yield at_least("Wall to the edge", _level(found.smallest_edge, given.edge), given.edge, detail, LENGTH)
    yield from _bolts_named(given)
    yield from _opening(given)


def _bolts_named(given: Inputs) -> Iterator[Check]:
    """A hole of which nobody said which bolt goes through it may be one that no bolt can use."""
    unnamed = [name for name, hole in _placed(given) if hole.kind in BOLTED and not hole.bolt and not _over_axis(hole)]
    if unnamed:
        yield Check(BOLT_NOT_NAMED, False, None, f"which bolt goes through {', '.join(unnamed)}?")


def _opening(given: Inputs) -> Iterator[Check]:
    """Crank and clutch pass through the plate: an outline without an opening there is a plate that cannot be fitted."""
    if not given.outline:
        return
    axis = Disc(0.0, 0.0, 0.0)
    found = any(_over_axis(hole) for _, hole in _placed(given))
    found = found or any(window.wall_to(axis) < 0 for window in plate_windows(given))
    detail = "over the crankshaft axis" if found else "none over the crankshaft axis: add it as a window"
    yield Check("Opening for crank and clutch", found, None, detail)


def _over_axis(hole: LayoutHole) -> bool:
    """Whether a hole is the opening for crank and clutch, not one for a bolt."""
    wide = hole.kind == "clearance" and hole.diameter >= _LEAST_OPENING
    return wide and math.hypot(hole.x, hole.y) < hole.diameter / 2


def _level(value: float, limit: float) -> float:
    return limit if abs(value - limit) < _SAME else value


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what could not be compared, and what hardly can be."""
    for name, hole in _placed(given):
        if math.hypot(hole.x, hole.y) < hole.diameter / 2:
            yield f"{name} lies on the datum, the crankshaft's axis: is the face still measured from that hole?"
    if given.edge is not None and found.smallest_edge is None:
        yield "The wall to the edge is not checked: there is no outline."
    if given.edge is None and found.smallest_edge is not None and found.smallest_edge < -_SAME:
        over = show(-found.smallest_edge, LENGTH)
        yield f"A hole or head reaches over the outline by {over}: nothing holds it there."
    if found.mass is None:
        yield "The mass is not worked out: there is no outline."


_SUNK = {"diameter": 11, "kind": "countersunk", "head_diameter": 22, "bolt": "M10"}
_SIZE = 124.0
_LETTERS = 3.2
_CROSS = 1.5


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Both patterns as seen from the gearbox side; clashing holes filled, crossed and joined."""
    placed = _placed(given)
    corners = plate_outline(given)
    rims = [Circle((hole.x, hole.y), _reach(hole).radius) for _, hole in placed]
    room = bounds_of([*rims, *([Polyline(corners)] if corners else []), *_window_rims(given)])
    scale = _SIZE / max(room.width, room.height)
    clashing = {name for pair in found.clashes for name in pair}
    items: list[Item] = []
    if corners:
        items.append(Polyline(_to(corners, scale), closed=True, fill=Tone.METAL))
    items += _windows_drawn(given, scale)
    items.append(CentreMark((0, 0), 8))
    for name, hole in placed:
        items += _hole(name, hole, scale, name in clashing)
    items += set_aside([_spot(name, hole, scale) for name, hole in placed], _LETTERS)
    at = {name: (hole.x, hole.y) for name, hole in placed}
    items += [Line(*_to([at[a], at[b]], scale), role=Role.CLASH) for a, b in found.clashes]
    low, left = room.bottom * scale - 9, room.left * scale
    items += [Text((left, low - 6 * k), words, _LETTERS) for k, words in enumerate(_key(given, found))]
    return Drawing("Plate layout, seen from the gearbox side", _said(given, found), items)


def _window_rims(given: Inputs, scale: float = 1.0) -> Iterator[Item]:
    for window in plate_windows(given):
        if window.disc:
            (at,) = _to([window.disc.centre], scale)
            yield Circle(at, window.disc.radius * scale, Tone.PLAIN)
        else:
            yield Polyline(_to(window.corners, scale), closed=True, fill=Tone.PLAIN)


def _windows_drawn(given: Inputs, scale: float) -> Iterator[Item]:
    yield from _window_rims(given, scale)
    for window in plate_windows(given):
        (at,) = _to([window.middle], scale)
        yield Text(at, window.name, _LETTERS, "middle")


def _to(points: Sequence[Point], scale: float) -> tuple[Point, ...]:
    return tuple((x * scale, y * scale) for x, y in points)


def _role(name: str) -> Role:
    return Role.ENGINE if name.startswith("engine:") else Role.GEARBOX


def _spot(name: str, hole: LayoutHole, scale: float) -> LabelSpot:
    cross = _CROSS if hole.kind == "dowel" else 0.0
    # As the plate's sheets call it: both faces may have a B1.
    label = f"{name[0].upper()}-{hole.name}"
    return LabelSpot((hole.x * scale, hole.y * scale), _reach(hole).radius * scale + cross, label, _role(name))


def _hole(name: str, hole: LayoutHole, scale: float, clashing: bool) -> Iterator[Item]:
    (at,) = _to([(hole.x, hole.y)], scale)
    role = _role(name)
    radius, reach = hole.diameter / 2 * scale, _reach(hole).radius * scale
    if reach > radius:
        yield Circle(at, reach, Tone.CLASH if clashing else None, role=role, stroke=Stroke.NARROW)
    yield Circle(at, radius, Tone.CLASH if clashing else Tone.PLAIN, role=role)
    if hole.kind == "dowel":
        yield CentreMark(at, radius + _CROSS, role)
    if clashing:
        arm = radius * math.sqrt(0.5)
        yield Line((at[0] - arm, at[1] - arm), (at[0] + arm, at[1] + arm), role=Role.CLASH)
        yield Line((at[0] - arm, at[1] + arm), (at[0] + arm, at[1] - arm), role=Role.CLASH)


def _key(given: Inputs, found: Outputs) -> Iterator[str]:
    turn = f", turned {show(given.rotation, ANGLE)}" if given.rotation else ""
    yield f"seen from the gearbox side; gearbox holes in chain lines{turn}"
    yield f"smallest wall {show(found.smallest_ligament, LENGTH)}: {', '.join(found.smallest_pair)}"
    if found.clashes:
        yield f"crossed: {len(found.clashes)} wall{'s' * (len(found.clashes) > 1)} under {show(given.ligament, LENGTH)}"


def _said(given: Inputs, found: Outputs) -> str:
    count = len(found.clashes)
    edge = f" Smallest wall to the edge {show(found.smallest_edge, LENGTH)}." if found.smallest_edge is not None else ""
    return (
        f"{len(given.engine)} engine and {len(given.gearbox)} gearbox holes. Smallest wall "
        f"{show(found.smallest_ligament, LENGTH)} between {' and '.join(found.smallest_pair)}; "
        f"{count or 'no'} wall{'' if count == 1 else 's'} under {show(given.ligament, LENGTH)}.{edge}"
    )


CALCULATION = Calculation(
    title="Plate layout",
    question="Do both hole patterns fit on one plate, and where does the machinist drill?",
    area="Fit and measurement",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "engine": [
            {"name": "bore", "x": 0, "y": 0, "diameter": 80, "kind": "clearance"},
            {"name": "E1", "x": 0, "y": 160, **_SUNK},
            {"name": "E2", "x": -150, "y": -60, **_SUNK},
            {"name": "E3", "x": 150, "y": -60, **_SUNK},
            {"name": "D1", "x": -128, "y": 40, "diameter": 12, "kind": "dowel"},
        ],
        "gearbox": [
            {"name": "G1", "x": 24, "y": 158, "diameter": 12.5, "kind": "tapped"},
            {"name": "G2", "x": -120, "y": -110, "diameter": 12.5, "kind": "tapped"},
            {"name": "G3", "x": 120, "y": -110, "diameter": 12.5, "kind": "tapped"},
        ],
        "thickness": 20,
        "ligament": 6,
        "edge": 10,
        "outline": [
            {"x": -190, "y": -150},
            {"x": 190, "y": -150},
            {"x": 190, "y": 190},
            {"x": -190, "y": 190},
        ],
    },
    cautions=(
        "The engine side is the mirror image: the table gives x for both sides; mark the side on the blank first.",
        "Measure both patterns from the same side and the same axis, and lay the plate on both parts before bolting.",
        "Dowels, not bolts, hold the gearbox on the crankshaft's axis: check run-out after assembly.",
    ),
    sources=(
        Source("Plane geometry: distance of circles, area by Green's theorem", "general", "", "from memory"),
        Source("Least wall between holes and to the edge", "common practice, no source"),
    ),
    limits=(
        "A flat plate of one thickness with a straight-edged outline; mass is that of through diameters and windows, "
        "without heads, threads and chamfers.",
    ),
    not_checked=(
        "Access for sockets, the starter, cooling and the sump; thread depth and strength of the plate.",
        "Whether heads lie flush.",
    ),
)
