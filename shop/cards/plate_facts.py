"""Reading a plate: from the worksheet that lays both hole patterns on one plate to what the machinist needs."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.core.exceptions import ValidationError

from shop.cards.facts import Heading, HoleFacts, OperationFacts, Pair, PlateFacts
from shop.worksheets.bindings import mirrored_sign
from shop.worksheets.models import WorksheetInput
from shop.worksheets.today import WorksheetState
from shop.worksheets.wording import input_lines, tell
from specs.machining import FaceHole, PlateHole, opposite, plate_holes, smallest_wall
from specs.models import HolePattern
from specs.units import ANGLE, LENGTH, show

PLATE = "plate-layout"
NOT_A_PLATE = "Set-up sheets and templates are made of a worksheet that lays out a plate; this one does not."


def read_plate(state: WorksheetState, heading: Heading) -> PlateFacts:
    """What is on record of a plate, worked out to operations. Raises ValidationError, in words, where it cannot be."""
    if state.worksheet.calculation != PLATE:
        raise ValidationError(NOT_A_PLATE)
    if state.given is None:
        said = " ".join(f"{label}: {why}" for label, why in state.problems)
        raise ValidationError(f"The plate cannot be worked out today. {said}")
    thickness = LENGTH.from_si(state.given.thickness)
    rotation = ANGLE.from_si(state.given.rotation)
    holes = _holes(state, rotation, thickness)
    wall, between = smallest_wall(holes)
    limit = LENGTH.from_si(state.given.ligament)
    return PlateFacts(
        heading=heading,
        origins=_origins(state),
        standing=tell(state).sentences,
        relied_on=state.standing.holds,
        thickness=thickness,
        wall=_wall(wall, between, limit),
        outline=tuple((LENGTH.from_si(c.x), LENGTH.from_si(c.y)) for c in state.given.outline),
        holes=tuple(_hole(hole) for hole in holes),
    )


def _holes(state: WorksheetState, rotation: float, thickness: float) -> tuple[PlateHole, ...]:
    bound = {held.path: held for held in state.worksheet.inputs.all()}
    engine, gearbox = (_side(bound.get(name), getattr(state.given, name)) for name in ("engine", "gearbox"))
    try:
        return plate_holes(engine, gearbox, rotation, thickness)
    except ValueError as wrong:
        raise ValidationError(f"A hole's thread cannot be machined from the tables: {wrong}") from None


def _side(held: WorksheetInput | None, given: Iterable[Any]) -> list[FaceHole]:
    """A face's measured pattern asks for its opposite in the plate; typed rows are the plate's own holes."""
    if held is not None and held.pattern is not None:
        return [opposite(hole) for hole in _measured(held.pattern)]
    return [
        FaceHole(
            hole.name,
            LENGTH.from_si(hole.x),
            LENGTH.from_si(hole.y),
            LENGTH.from_si(hole.diameter),
            hole.kind,
            head_diameter=LENGTH.from_si(hole.head_diameter),
        )
        for hole in given
    ]


def _measured(pattern: HolePattern) -> list[FaceHole]:
    side = mirrored_sign(pattern)
    return [
        FaceHole(hole.name, side * hole.x, hole.y, hole.diameter, hole.kind, hole.thread, hole.head_diameter)
        for hole in pattern.holes.all()
    ]


def _hole(hole: PlateHole) -> HoleFacts:
    operations = tuple(OperationFacts(o.work, o.side, o.tool, o.depth, o.diameter) for o in hole.operations)
    return HoleFacts(hole.name, hole.of, hole.x, hole.y, hole.diameter, hole.widest, hole.kind, operations)


def _origins(state: WorksheetState) -> tuple[Pair, ...]:
    """Where every figure of the sheet comes from."""
    return tuple((line.label, f"{line.value}, {line.credit}".strip(", ")) for line in input_lines(state))


def _wall(wall: float, between: str, limit: float) -> str:
    said = f"{show(LENGTH.to_si(wall), LENGTH)} between {between}, with the seats that are cut for the heads"
    if wall >= limit:
        return f"Smallest wall {said}; at least {limit:g} mm was wanted."
    return f"DO NOT CUT YET: smallest wall {said}, but at least {limit:g} mm was wanted."
