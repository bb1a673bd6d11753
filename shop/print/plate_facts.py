"""What the machinist's papers of a plate say: from the plate as it stands today to the facts that are kept."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import replace
from math import hypot
from typing import Any

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.written import num
from shop.plate.layout import PlateLayout, read_state
from shop.plate.models import OmittedHole
from shop.print.facts import Heading, Pair, Told
from shop.print.plate_card_facts import (
    IN_PLACE,
    SEATS,
    DepthFacts,
    HoleFacts,
    OperationFacts,
    PlateFacts,
    ToolFacts,
    WallFacts,
    WindowFacts,
)
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.lines import input_lines
from shop.worksheets.text import person_name, status_text
from specs.engine.units import (
    DENSITY,
    LENGTH,
    MASS,
    show,
)
from specs.geometry.windows import Window
from specs.phrase import listed
from specs.plate.machining import HoleOperation, Operation, PlateHole, smallest_wall
from specs.plate.sides import Side, name_on_plate


def read_plate(state: EvaluatedWorksheet, heading: Heading) -> PlateFacts:
    """What is on record of a plate, worked out to operations. Raises ValidationError, in words, where it cannot be."""
    plate = read_state(state)
    _demand_printable(plate)
    cut = plate.as_cut().found
    doubts, wall = tuple(_doubts(plate)), _wall(plate, cut)
    return PlateFacts(
        heading=replace(heading, title=plate_title(plate)),
        origins=_origins(plate),
        status=(*map(Told, status_text(state).told_once), *(Told(doubt, stops=True) for doubt in doubts)),
        relied_on=_relied_on(plate, doubts, wall),
        material=_chosen(plate, plate.making.alloy),
        thickness=plate.thickness,
        wall=wall,
        outline=plate.outline,
        holes=tuple(_hole(hole, bool(plate.dowels_in_doubt)) for hole in plate.machined),
        windows=tuple(map(_window, plate.windows)),
        mass=_mass(plate, cut),
        left_out=tuple(map(_left_out, plate.left_out)),
        cautions=tuple(_cautions(plate)),
    )


def plate_today(state: EvaluatedWorksheet) -> tuple[str, bool]:
    """A plate's name, and whether it may be cut as it stands today. Raises ValidationError where none is printed."""
    plate = read_state(state)
    _demand_printable(plate)
    return plate_title(plate), _relied_on(plate, tuple(_doubts(plate)), _wall(plate, plate.as_cut().found))


def _relied_on(plate: PlateLayout, doubts: Collection[str], wall: WallFacts) -> bool:
    return plate.state.status.holds and not doubts and not wall.stops


def plate_title(plate: PlateLayout) -> str:
    """Name a plate by what it joins; by its worksheet's title where a face was typed and has no component."""
    faces = [plate.pattern(side) for side in (Side.ENGINE, Side.GEARBOX)]
    named = [str(face.component) for face in faces if face]
    if len(named) < len(faces):
        return str(plate.worksheet)
    return gettext("Adapter plate {engine} to {gearbox}").format(engine=named[0], gearbox=named[1])


def _cautions(plate: PlateLayout) -> Iterator[str]:
    """What the machinist is told beside the figures: dowels that are placed worse than their pins forgive."""
    if plate.dowels_in_doubt:
        yield gettext(
            "REAM LAST, IN PLACE: {dowels_in_doubt}. Drill them under size, try the plate on the face's own "
            "dowels, then clamp it there and ream through."
        ).format(dowels_in_doubt=plate.dowels_in_doubt)


def _demand_printable(plate: PlateLayout) -> None:
    """Nothing leaves for the machine of a deleted plate, nor while a hole may be one that no bolt can use."""
    if plate.worksheet.is_deleted:
        raise ValidationError(
            gettext("This plate was deleted: {deleted_reason}. Nothing of it is given out.").format(
                deleted_reason=plate.worksheet.deleted_reason
            )
        )
    if doubt := plate.dowels_misplaced:
        raise ValidationError(doubt)
    if plate.unnamed_bolts:
        raise ValidationError(
            gettext(
                "Which bolt goes through {unnamed_bolts}? Name it on the face's hole pattern, or in the "
                "worksheet's rows where the holes are typed: until then nothing is printed or cut."
            ).format(unnamed_bolts=", ".join(plate.unnamed_bolts))
        )


def _doubts(plate: PlateLayout) -> Iterator[str]:
    """Everything for which a plate is not cut yet."""
    if not plate.state.status.holds:
        yield gettext(
            "DO NOT CUT YET: the plate is not accepted as it stands today. Accept it first, then print again."
        )
    yield from _off_datum(plate.machined)
    if plate.state.accepted_alone:
        yield gettext("DO NOT CUT YET: {accepted_alone}.").format(accepted_alone=plate.state.accepted_alone)


def _off_datum(holes: Iterable[PlateHole]) -> Iterator[str]:
    """Holes that stand where the crankshaft turns: their face was never moved to its axis."""
    for hole in holes:
        if hypot(hole.x, hole.y) < hole.diameter / 2:
            yield gettext(
                "DO NOT CUT YET: {name} lies on the datum; move its face to the crankshaft axis first."
            ).format(name=hole.name)


def _hole(hole: PlateHole, in_place: bool) -> HoleFacts:
    """A hole's facts; in_place: whether its reaming is no matter of figures but done on the face itself."""
    return HoleFacts(
        name=hole.name,
        of=hole.of,
        x=hole.x,
        y=hole.y,
        diameter=hole.diameter,
        widest=hole.widest,
        kind=hole.kind,
        operations=tuple(_operation(one, in_place) for one in hole.operations),
        decimals=hole.decimals,
    )


def _operation(done: Operation, in_place: bool) -> OperationFacts:
    tool = ToolFacts(done.tool, done.sized, done.thread)
    last = in_place and done.work is HoleOperation.REAM
    depth = DepthFacts(IN_PLACE, in_place=True) if last else DepthFacts(done.depth)
    return OperationFacts(done.work, done.side, tool, depth, done.diameter)


def _window(window: Window) -> WindowFacts:
    x, y = map(LENGTH.from_si, window.middle)
    corners = tuple((LENGTH.from_si(one), LENGTH.from_si(other)) for one, other in window.corners)
    return WindowFacts(window.name, x, y, LENGTH.from_si(2 * window.disc.radius) if window.disc else 0.0, corners)


def _mass(plate: PlateLayout, cut: Any) -> str:
    """The mass of the plate as it is cut: without the holes that are left out."""
    if cut.mass is None:
        return gettext("not known: there is no outline")
    return gettext("{mass} at {density}").format(mass=show(cut.mass, MASS), density=show(plate.given.density, DENSITY))


def _left_out(entry: OmittedHole) -> Pair:
    said = f"{entry.get_kind_display()}: {entry.reason} ({person_name(entry.person)}, {entry.at:%Y-%m-%d})"
    return entry.plate_name, said


# Two lengths nearer than this [m] are one.
_SAME = 1e-9
TOOLS = gettext_lazy(
    "tap drills ISO 2306, holes for bolts ISO 273 medium, heads ISO 4762 (seat 1 mm wider, 0.4 mm deeper) or "
    "ISO 10642, dowel holes for pins ISO 8734"
)


def _origins(plate: PlateLayout) -> tuple[Pair, ...]:
    """Where every figure of the sheet comes from: readings, what was typed, and the standards behind the tools."""
    given = [(line.label, f"{line.value}, {line.credit}".strip(", ")) for line in input_lines(plate.state)]
    read = [pair for side in Side if (pair := _read(plate, side))]
    heads = _chosen(plate, plate.making.heads)
    by_table = [
        (gettext("Heads"), heads),
        (gettext("Material"), _chosen(plate, plate.making.alloy)),
        (gettext("Tools"), TOOLS),
    ]
    return (*given, *read, *by_table)


def _chosen(plate: PlateLayout, what: str) -> str:
    """What the plate is made with, and whether a person said so."""
    return what if plate.making.pk else gettext("{what} (usual, nobody has chosen yet)").format(what=what)


def _read(plate: PlateLayout, side: Side) -> Pair | None:
    """How a side's coordinates were read, from which datum, how well they are known."""
    pattern = plate.pattern(side)
    if pattern is None:
        return None
    known = [hole.uncertainty for hole in pattern.holes.all() if hole.uncertainty]
    sure = gettext("; places known to ± {num} mm (95 %)").format(num=num(max(known), ".3f")) if known else ""
    moved = (
        gettext("; moved: {construction}").format(construction=pattern.construction["words"])
        if pattern.construction.get("words")
        else ""
    )
    seen = gettext("{get_method_display}, seen {get_seen_from_display}, datum {datum}").format(
        get_method_display=pattern.get_method_display(),
        get_seen_from_display=pattern.get_seen_from_display(),
        datum=pattern.datum,
    )
    whose = gettext("Engine read by") if side is Side.ENGINE else gettext("Gearbox read by")
    said = gettext("pattern {pk}: {seen}{moved}{sure}").format(pk=pattern.pk, seen=seen, moved=moved, sure=sure)
    return whose, said


def _wall(plate: PlateLayout, cut: Any) -> WallFacts:
    """What is left between holes, windows and edge, seats for the heads counted; what is too thin comes first."""
    smallest = smallest_wall(plate.machined)
    (stops, said), (_, brief) = (_walls_text(plate, cut, smallest, seats) for seats in (SEATS, ""))
    return WallFacts(said, stops, brief)


def _walls_text(plate: PlateLayout, cut: Any, smallest: tuple[float, str], seats: str) -> tuple[bool, str]:
    """Whether any wall is too thin to be cut, and what each comes to."""
    judged = [
        (size >= least - _SAME, gettext("{words} (at least {num} mm)").format(words=words, num=num(least * 1000)))
        for size, least, words in _walls(plate, cut, smallest, seats)
    ]
    said = "; ".join(words for _, words in sorted(judged, key=lambda wall: wall[0]))
    if all(enough for enough, _ in judged):
        return False, f"{said[0].upper()}{said[1:]}."
    return True, gettext("DO NOT CUT YET: {said}.").format(said=said)


def _walls(plate: PlateLayout, cut: Any, smallest: tuple[float, str], seats: str) -> Iterator[tuple[float, float, str]]:
    """What is left, what must be [m], and where in words."""
    wall, between = smallest
    where = gettext("smallest wall {mm} between {between}{seats}").format(mm=_mm(wall), between=between, seats=seats)
    yield LENGTH.to_si(wall), plate.given.ligament, where
    if cut.smallest_window is not None:
        pair = listed(map(name_on_plate, cut.window_pair))
        where = gettext("{show} beside a window, {pair}").format(show=show(cut.smallest_window, LENGTH), pair=pair)
        yield cut.smallest_window, plate.given.ligament, where
    if cut.smallest_edge is not None:
        where = gettext("{show} to the edge").format(show=show(cut.smallest_edge, LENGTH))
        yield cut.smallest_edge, plate.given.edge or 0.0, where


def _mm(length: float) -> str:
    return show(LENGTH.to_si(length), LENGTH)
