"""Both hole patterns on one plate: walls between holes and to the edge, clashes, mass, and the hole table."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from specs.drawings.plate_picture import DrawnHole, DrawnPlate, DrawnWindow, plate_picture
from specs.drawings.primitives import Drawing, Role
from specs.drawings.sections import sheet
from specs.engine.calculation import (
    Calculation,
    WorkingStep,
    answer_or_none,
    name_list_result,
    pair_list_result,
    result,
    table_result,
    text_result,
)
from specs.engine.checks import Check, at_least, open_where
from specs.engine.units import ANGLE, AREA, LENGTH, MASS, show
from specs.geometry.discs import edge_wall, ligament
from specs.geometry.outlines import Outline
from specs.phrase import listed, phrase
from specs.plate.bolted_holes import bolts_named, opening, unknown_heads
from specs.plate.laid_out import (
    SAME,
    LayoutHole,
    PlateInputs,
    beside_windows,
    demand_holes,
    demand_windows,
    placed_holes,
    plate_area,
    plate_outline,
    plate_windows,
    reach_of,
)
from specs.plate.many_plates import ManyPlates, at_once
from specs.plate.sides import name_on_plate
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs(PlateInputs):
    """Everything is seen from the gearbox side, with the origin on the crankshaft axis."""


@dataclass(frozen=True, kw_only=True)
class HoleTableRow:
    """A line of the hole table; `mirrored_x` is what a machinist sees who faces the engine side."""

    name: str = text_result(phrase("Hole"))
    kind: str = text_result(phrase("Kind"))
    diameter: float = result(LENGTH, phrase("Diameter"))
    x: float = result(LENGTH, phrase("x, gearbox side up"))
    y: float = result(LENGTH, "y")
    mirrored_x: float = result(LENGTH, phrase("x, engine side up"))


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """A negative wall means that holes overlap, or break the edge."""

    smallest_ligament: float = result(LENGTH, phrase("Smallest wall between holes"), symbol="b")
    smallest_pair: tuple[str, ...] = name_list_result(phrase("Between"))
    clashes: tuple[tuple[str, str], ...] = pair_list_result(phrase("Walls under the limit"))
    smallest_edge: float | None = result(LENGTH, phrase("Smallest wall to the edge"), symbol="e", optional=True)
    smallest_window: float | None = result(LENGTH, phrase("Smallest wall beside a window"), symbol="w", optional=True)
    window_pair: tuple[str, ...] | None = name_list_result(phrase("Window and what is nearest to it"), optional=True)
    mass: float | None = result(MASS, phrase("Mass"), symbol="m", optional=True)
    table: tuple[HoleTableRow, ...] = table_result(HoleTableRow, phrase("Hole table"))


def solve(given: Inputs) -> Outputs:
    """Wall b = distance of centres less both radii (of hole or head, the larger); mass = ρ t (outline less holes).

    Lengths [m], density [kg/m³]. The area is exact for holes that overlap one another, a window or the edge. Raises
    Refused for identical holes in one list, an outline that crosses itself or has no area or cannot be moved so far,
    windows that overlap or cut the plate in two, and more holes than a plate has.
    """
    demand_holes(given)
    placed = placed_holes(given)
    reaches = [(name, reach_of(hole)) for name, hole in placed]
    walls = [(ligament(a, b), (m, n)) for (m, a), (n, b) in combinations(reaches, 2)]
    smallest, pair = min(walls)
    outline, windows = plate_outline(given), plate_windows(given)
    demand_windows(windows)
    set_aside = min(beside_windows(given, windows, outline), default=None)
    return Outputs(
        smallest_ligament=smallest,
        smallest_pair=pair,
        clashes=tuple(names for wall, names in walls if wall < given.ligament - SAME),
        smallest_edge=min(edge_wall(outline, disc) for _, disc in reaches) if outline else None,
        smallest_window=set_aside[0] if set_aside else None,
        window_pair=set_aside[1] if set_aside else None,
        mass=plate_area(given) * given.thickness * given.density if outline else None,
        table=tuple(_row(name, hole.kind, hole.diameter, hole.x, hole.y) for name, hole in placed),
    )


def _row(name: str, kind: str, diameter: float, x: float, y: float) -> HoleTableRow:
    return HoleTableRow(name=name, kind=kind, diameter=diameter, x=x, y=y, mirrored_x=-x)


def solve_all(givens: Sequence[Inputs]) -> list[Outputs | None]:
    """The same for many readings of one plate at once; singly where it has windows, or may have a hole twice."""
    together = at_once(givens)
    found = iter(_solved_together([givens[at] for at in together], [together[at] for at in together]))
    return [next(found) if at in together else answer_or_none(solve, given) for at, given in enumerate(givens)]


def _solved_together(givens: Sequence[Inputs], outlines: Sequence[Outline]) -> Iterator[Outputs]:
    if not givens:
        return
    plates = ManyPlates.of(givens, outlines)
    named = [(name, hole.kind) for name, hole in placed_holes(givens[0])]
    for given, plate in zip(givens, plates.each([name for name, _ in named]), strict=True):
        area = plate_area(given) if plate.area is not None and math.isnan(plate.area) else plate.area
        table = zip(named, plate.diameters, plate.places, strict=True)
        yield Outputs(
            smallest_ligament=plate.least,
            smallest_pair=plate.least_pair,
            clashes=tuple(plate.under(given.ligament - SAME)),
            smallest_edge=plate.edge,
            mass=None if area is None else area * given.thickness * given.density,
            table=tuple(_row(*one, diameter, *place) for one, diameter, place in table),
        )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """The smallest wall, and the mass where there is an outline."""
    held = dict(placed_holes(given))
    one, other = (reach_of(held[name]) for name in found.smallest_pair)
    pair = {"x_1": one.x, "y_1": one.y, "r_1": one.radius, "x_2": other.x, "y_2": other.y, "r_2": other.radius}
    values = {symbol: (value, LENGTH) for symbol, value in pair.items()}
    yield WorkingStep("b = hypot(x_1 - x_2, y_1 - y_2) - r_1 - r_2", values, _pair(found.smallest_pair))
    if found.mass is not None:
        yield WorkingStep(
            "m = A * t * rho",
            {"A": (plate_area(given), AREA)},
            phrase("A: outline less the through diameters and windows"),
        )


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the walls with the limits that were given; ask for every bolt, and for the opening over the crank."""
    pair = _pair(found.smallest_pair)
    wall = _level(found.smallest_ligament, given.ligament)
    yield open_where(at_least(phrase("Wall between holes"), wall, given.ligament, pair, LENGTH), unknown_heads(given))
    if found.smallest_window is not None and found.window_pair is not None:
        set_aside, wall = _pair(found.window_pair), _level(found.smallest_window, given.ligament)
        yield at_least(phrase("Wall beside a window"), wall, given.ligament, set_aside, LENGTH)
    if found.smallest_edge is not None:
        yield _edge_check(given, found.smallest_edge)
    yield from bolts_named(given)
    yield from opening(given)


def _edge_check(given: Inputs, wall: float) -> Check:
    """Whether enough is left to the edge; where nobody says what is enough, only nothing at all is known not to be."""
    least, lacking = given.edge or 0.0, None if given.edge else phrase("the least wall to the edge was not given")
    check = at_least(
        phrase("Wall to the edge"), _level(wall, least), least, phrase("nearest hole or head to the outline"), LENGTH
    )
    return open_where(check, lacking, unknown_heads(given))


def _pair(names: Iterable[str]) -> str:
    """Two holes, or a window and a hole, by the names that page, sheet and file give them."""
    return listed(map(name_on_plate, names))


def _level(value: float, limit: float) -> float:
    return limit if abs(value - limit) < SAME else value


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what could not be compared, and what hardly can be."""
    for name, hole in placed_holes(given):
        if math.hypot(hole.x, hole.y) < hole.diameter / 2:
            told = phrase("{name_on_plate} lies on the datum, the crankshaft's axis", name_on_plate=name_on_plate(name))
            yield phrase("{told}: is the face still measured from that hole?", told=told)
    if given.edge is not None and found.smallest_edge is None:
        yield phrase("The wall to the edge is not checked: there is no outline.")
    if found.smallest_edge is not None and found.smallest_edge < -SAME:
        over = show(-found.smallest_edge, LENGTH)
        yield phrase("A hole or head reaches over the outline by {over}: nothing holds it there.", over=over)
    if found.mass is None:
        yield phrase("The mass is not worked out: there is no outline.")


_SUNK = {"diameter": 11, "kind": "countersunk", "head_diameter": 22, "bolt": "M10"}


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Both patterns as seen from the gearbox side; clashing holes filled, crossed and joined."""
    placed = dict(placed_holes(given))
    clashing = {name for pair in found.clashes for name in pair}
    at = {name: (hole.x, hole.y) for name, hole in placed.items()}
    plate = DrawnPlate(
        outline=plate_outline(given),
        windows=[
            DrawnWindow(window.name, window.middle, window.corners, window.disc.radius if window.disc else None)
            for window in plate_windows(given)
        ],
        holes=[_drawn(name, hole, name in clashing) for name, hole in placed.items()],
        clashes=[(at[a], at[b]) for a, b in found.clashes],
        key=list(_key(given, found)),
    )
    return sheet(phrase("Plate layout, seen from the gearbox side"), _said(given, found), list(plate_picture(plate)))


def _drawn(name: str, hole: LayoutHole, clashes: bool) -> DrawnHole:
    role = Role.ENGINE if name.startswith("engine:") else Role.GEARBOX
    radius, reach = hole.diameter / 2, reach_of(hole).radius
    # As the plate's sheets call it: both faces may have a B1.
    return DrawnHole(name_on_plate(name), (hole.x, hole.y), radius, reach, role, hole.kind == "dowel", clashes)


def _key(given: Inputs, found: Outputs) -> Iterator[str]:
    turn = phrase(", turned {show}", show=show(given.rotation, ANGLE)) if given.rotation else ""
    yield phrase("seen from the gearbox side; gearbox holes in chain lines{turn}", turn=turn)
    yield phrase(
        "smallest wall {show}: {pair}", show=show(found.smallest_ligament, LENGTH), pair=_pair(found.smallest_pair)
    )
    if found.clashes:
        yield phrase(
            "crossed: {clashes} wall{value} under {show}",
            clashes=len(found.clashes),
            value="s" * (len(found.clashes) > 1),
            show=show(given.ligament, LENGTH),
        )


def _said(given: Inputs, found: Outputs) -> str:
    count = len(found.clashes)
    edge = (
        phrase(" Smallest wall to the edge {show}.", show=show(found.smallest_edge, LENGTH))
        if found.smallest_edge is not None
        else ""
    )
    return phrase(
        "{engine} engine and {gearbox} gearbox holes. Smallest wall "
        "{show} between {pair}; "
        "{value} wall{value_2} under {show_2}.{edge}",
        engine=len(given.engine),
        gearbox=len(given.gearbox),
        show=show(found.smallest_ligament, LENGTH),
        pair=_pair(found.smallest_pair),
        value=count or phrase("no"),
        value_2="" if count == 1 else "s",
        show_2=show(given.ligament, LENGTH),
        edge=edge,
    )


CALCULATION = Calculation(
    title=phrase("Plate layout"),
    question=phrase("Do both hole patterns fit on one plate, and where does the machinist drill?"),
    area=phrase("Fit and measurement"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    solve_all=solve_all,
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
        "outline": [{"x": -190, "y": -150}, {"x": 190, "y": -150}, {"x": 190, "y": 190}, {"x": -190, "y": 190}],
    },
    cautions=(
        phrase(
            "The engine side is the mirror image: the table gives x for both sides; mark the side on the blank first."
        ),
        phrase(
            "Measure both patterns from the same side and the same axis, and lay the plate on both parts before "
            "bolting."
        ),
        phrase("Dowels, not bolts, hold the gearbox on the crankshaft's axis: check run-out after assembly."),
    ),
    sources=(
        Source(phrase("Plane geometry: distance of circles, area by Green's theorem"), "general", "", "from memory"),
        Source(phrase("Least wall between holes and to the edge"), phrase("common practice, no source")),
    ),
    limits=(
        phrase(
            "A flat plate of one thickness with a straight-edged outline; mass is that of through diameters and "
            "windows, "
            "without heads, threads and chamfers."
        ),
    ),
    not_checked=(
        phrase("Access for sockets, the starter, cooling and the sump; thread depth and strength of the plate."),
        phrase("Whether heads lie flush."),
    ),
    revision=2,
)
