"""What the machinist's papers of a plate say: from the plate as it stands today to the facts that are kept."""

from __future__ import annotations

from shop.cards.facts import Heading, HoleFacts, OperationFacts, Pair, PlateFacts
from shop.cards.models import LeftOut
from shop.cards.plate import read_state
from shop.worksheets.today import WorksheetState
from shop.worksheets.wording import input_lines, person_name, tell
from specs.machining import PlateHole, smallest_wall
from specs.units import LENGTH, show


def read_plate(state: WorksheetState, heading: Heading) -> PlateFacts:
    """What is on record of a plate, worked out to operations. Raises ValidationError, in words, where it cannot be."""
    plate = read_state(state)
    wall, between = smallest_wall(plate.machined)
    return PlateFacts(
        heading=heading,
        origins=(*_origins(state), ("Heads", plate.making.get_head_display()), ("Material", plate.making.alloy)),
        standing=tell(state).sentences,
        relied_on=state.standing.holds,
        thickness=plate.thickness,
        wall=_wall(wall, between, LENGTH.from_si(plate.given.ligament)),
        outline=tuple((LENGTH.from_si(c.x), LENGTH.from_si(c.y)) for c in plate.given.outline),
        holes=tuple(map(_hole, plate.machined)),
        left_out=tuple(map(_left_out, plate.left_out)),
    )


def _hole(hole: PlateHole) -> HoleFacts:
    operations = tuple(OperationFacts(o.work, o.side, o.tool, o.depth, o.diameter) for o in hole.operations)
    return HoleFacts(hole.name, hole.of, hole.x, hole.y, hole.diameter, hole.widest, hole.kind, operations)


def _left_out(entry: LeftOut) -> Pair:
    said = f"{entry.get_why_display()}: {entry.reason} ({person_name(entry.person)}, {entry.at:%Y-%m-%d})"
    return entry.plate_name, said


def _origins(state: WorksheetState) -> tuple[Pair, ...]:
    """Where every figure of the sheet comes from."""
    return tuple((line.label, f"{line.value}, {line.credit}".strip(", ")) for line in input_lines(state))


def _wall(wall: float, between: str, limit: float) -> str:
    said = f"{show(LENGTH.to_si(wall), LENGTH)} between {between}, with the seats that are cut for the heads"
    if wall >= limit:
        return f"Smallest wall {said}; at least {limit:g} mm was wanted."
    return f"DO NOT CUT YET: smallest wall {said}, but at least {limit:g} mm was wanted."
