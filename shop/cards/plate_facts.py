"""What the machinist's papers of a plate say: from the plate as it stands today to the facts that are kept."""

from __future__ import annotations

from typing import Any

from shop.cards.facts import Heading, HoleFacts, OperationFacts, Pair, PlateFacts, WindowFacts
from shop.cards.models import LeftOut
from shop.cards.plate import Plate, read_state
from shop.worksheets.today import WorksheetState
from shop.worksheets.wording import input_lines, person_name, tell
from specs.geometry.windows import Window
from specs.machining import PlateHole, Side, smallest_wall
from specs.units import DENSITY, LENGTH, MASS, show


def read_plate(state: WorksheetState, heading: Heading) -> PlateFacts:
    """What is on record of a plate, worked out to operations. Raises ValidationError, in words, where it cannot be."""
    plate = read_state(state)
    cut = plate.as_cut().found
    return PlateFacts(
        heading=heading,
        origins=_origins(plate),
        standing=tell(state).sentences,
        relied_on=state.standing.holds,
        material=_chosen(plate, plate.making.alloy),
        thickness=plate.thickness,
        wall=_wall(plate, cut),
        outline=plate.outline,
        holes=tuple(map(_hole, plate.machined)),
        windows=tuple(map(_window, plate.windows)),
        mass=_mass(plate, cut),
        left_out=tuple(map(_left_out, plate.left_out)),
    )


def _hole(hole: PlateHole) -> HoleFacts:
    operations = tuple(OperationFacts(o.work, o.side, o.tool, o.depth, o.diameter) for o in hole.operations)
    return HoleFacts(hole.name, hole.of, hole.x, hole.y, hole.diameter, hole.widest, hole.kind, operations)


def _window(window: Window) -> WindowFacts:
    x, y = map(LENGTH.from_si, window.middle)
    corners = tuple((LENGTH.from_si(one), LENGTH.from_si(other)) for one, other in window.corners)
    return WindowFacts(window.name, x, y, LENGTH.from_si(2 * window.disc.radius) if window.disc else 0.0, corners)


def _mass(plate: Plate, cut: Any) -> str:
    """The mass of the plate as it is cut: without the holes that are left out."""
    if cut.mass is None:
        return "not known: there is no outline"
    return f"{show(cut.mass, MASS)} at {show(plate.given.density, DENSITY)}"


def _left_out(entry: LeftOut) -> Pair:
    said = f"{entry.get_why_display()}: {entry.reason} ({person_name(entry.person)}, {entry.at:%Y-%m-%d})"
    return entry.plate_name, said


TOOLS = (
    "tap drills ISO 2306, holes for bolts ISO 273 medium, heads ISO 4762 (seat 1 mm wider, 0.4 mm deeper) or "
    "ISO 10642, dowel holes for pins ISO 8734"
)


def _origins(plate: Plate) -> tuple[Pair, ...]:
    """Where every figure of the sheet comes from: readings, what was typed, and the standards behind the tools."""
    given = [(line.label, f"{line.value}, {line.credit}".strip(", ")) for line in input_lines(plate.state)]
    read = [pair for side in Side if (pair := _read(plate, side))]
    heads = _chosen(plate, plate.making.get_head_display())
    by_table = [("Heads", heads), ("Material", _chosen(plate, plate.making.alloy)), ("Tools", TOOLS)]
    return (*given, *read, *by_table)


def _chosen(plate: Plate, what: str) -> str:
    """What the plate is made with, and whether a person said so."""
    return what if plate.making.pk else f"{what} (usual, nobody has chosen yet)"


def _read(plate: Plate, side: Side) -> Pair | None:
    """How a side's coordinates were read, from which datum, how well they are known."""
    pattern = plate.pattern(side)
    if pattern is None:
        return None
    known = [hole.uncertainty for hole in pattern.holes.all() if hole.uncertainty]
    sure = f"; places known to ± {max(known):.3f} mm (95 %)" if known else ""
    moved = f"; moved: {pattern.construction['words']}" if pattern.construction.get("words") else ""
    seen = f"{pattern.get_method_display()}, seen {pattern.get_seen_from_display()}, datum {pattern.datum}"
    return f"{'Engine' if side is Side.ENGINE else 'Gearbox'} read by", f"pattern {pattern.pk}: {seen}{moved}{sure}"


def _wall(plate: Plate, cut: Any) -> str:
    wall, between = smallest_wall(plate.machined)
    limit = LENGTH.from_si(plate.given.ligament)
    said = (
        f"smallest wall {show(LENGTH.to_si(wall), LENGTH)} between {between}, with the seats that are cut for the heads"
    )
    if cut.smallest_window is not None:
        wall = min(wall, LENGTH.from_si(cut.smallest_window))
        said += f"; {show(cut.smallest_window, LENGTH)} beside a window, {' and '.join(cut.window_pair)}"
    if wall >= limit - 1e-9:
        return f"{said[0].upper()}{said[1:]}; at least {limit:g} mm was wanted."
    return f"DO NOT CUT YET: {said}, but at least {limit:g} mm was wanted."
