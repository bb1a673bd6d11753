"""What a plate between two faces is machined with: each hole's operations, tools and depths, and how each side sees it.

A face's own hole says what the plate needs opposite it: a tapped hole in the block takes a bolt that passes the plate,
so the plate gets a clearance hole with a sunk seat for the head; a clearance hole in the bellhousing takes a bolt that
the plate holds, so the plate is tapped; a dowel stands in both. Lengths in mm, seen from the gearbox side unless said.
Sunk seats: socket heads, diameter and height of ISO 4762 plus 1 mm and 0.4 mm (common practice, no source); countersunk
heads, theoretical diameter of ISO 10642 on 90°. Tap drills ISO 2306, clearance holes ISO 273 medium.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from math import cos, floor, hypot, log10, radians, sin

from specs.phrase import Phrase, PhraseEnum, phrase
from specs.plate.sides import Side, plate_name
from specs.standards import clearance, dowels, heads, threads
from specs.written import num

SEAT_WIDER, SEAT_DEEPER = 1.0, 0.4
_USUAL_DECIMALS, _MOST_DECIMALS = 2, 3
THROUGH = phrase("through")
# A reamer takes about this off the diameter, so that it cuts all round and rubs nowhere; common practice, no source.
REAM_ALLOWANCE = 0.25


class HoleOperation(PhraseEnum):
    """An operation, in the order in which a set-up does them; also the name of its layer in a cutting file."""

    DRILL = "DRILL"
    REAM = "REAM"
    TAP = "TAP"
    SEAT = "COUNTERBORE"
    SINK = "COUNTERSINK"


@dataclass(frozen=True)
class Operation:
    """One operation on one hole: from which side, the tool's diameter [mm], its words, how deep in words.

    thread: what a tap cuts; empty where it is no tap, or where its thread is not on record.
    """

    work: HoleOperation
    side: Side
    diameter: float
    tool: str
    depth: str
    thread: str = ""

    @property
    def sized(self) -> str:
        """The tool with the sign of a diameter before its size."""
        if isinstance(self.tool, Phrase) and "num" in self.tool.values:
            return Phrase(self.tool.message, {**self.tool.values, "num": f"Ø{self.tool.values['num']}"})
        return self.tool


@dataclass(frozen=True)
class FaceHole:
    """A hole of a face, or one that the plate is to have, seen from the gearbox side, datum on the crankshaft axis.

    `uncertainty` is that of its place [mm, 95 %], None where the readings do not tell it.
    """

    name: str
    x: float
    y: float
    diameter: float
    kind: str
    thread: str = ""
    head_diameter: float = 0.0
    uncertainty: float | None = None


@dataclass(frozen=True)
class PlateHole:
    """A hole of the plate: where, the largest circle it takes away [mm], its kind, its operations in order."""

    name: str
    of: Side
    x: float
    y: float
    diameter: float
    widest: float
    kind: str
    operations: tuple[Operation, ...]
    uncertainty: float | None = None

    @property
    def decimals(self) -> int:
        """Decimals of a place [mm] that its readings carry (ISO/IEC Guide 98-3, 7.2.6); two where they do not tell."""
        if not self.uncertainty:
            return _USUAL_DECIMALS
        first = floor(log10(self.uncertainty))
        more = 1 if self.uncertainty / 10**first < 3 else 0
        return min(max(more - first, 0), _MOST_DECIMALS)

    def seen_from(self, side: Side) -> tuple[float, float]:
        """Its place as somebody sees it who faces that side of the plate: the engine side is the mirror image."""
        return (self.x, self.y) if side is Side.GEARBOX else (-self.x, self.y)


def turned(hole: FaceHole, degrees: float) -> FaceHole:
    """A hole turned counter-clockwise about the datum, seen from the gearbox side."""
    c, s = cos(radians(degrees)), sin(radians(degrees))
    return replace(hole, x=hole.x * c - hole.y * s, y=hole.x * s + hole.y * c)


def opposite(hole: FaceHole, head: str = "socket") -> FaceHole:
    """What the plate needs where a face has this hole; a hole whose thread is not on record stays as it is.

    head: "socket" or "countersunk", of the bolts that the block's tapped holes take. A dowel hole is reamed for the
    standard pin that its measured diameter means: no reamer is made for a reading.
    """
    if hole.kind == "dowel":
        pin = dowels.nearest(hole.diameter / 1000)
        return replace(hole, diameter=pin.diameter * 1000) if pin else hole
    if hole.kind not in ("tapped", "clearance") or not hole.thread:
        return hole
    thread = threads.find(hole.thread)
    if hole.kind == "clearance":
        return replace(hole, kind="tapped", diameter=thread.major_diameter * 1000, head_diameter=0.0)
    sunk = heads.find(head, thread)
    widest = (sunk.outside or sunk.bearing) * 1000
    kind, seat = ("countersunk", widest) if head == "countersunk" else ("clearance", widest + SEAT_WIDER)
    return replace(hole, kind=kind, diameter=clearance.hole(thread) * 1000, head_diameter=seat)


def unnamed_bolts(holes: Iterable[FaceHole]) -> list[str]:
    """Name the holes for bolts of which nobody said which bolt: what the plate needs there is not known.

    A tapped hole without a thread counts too: its bolt passes the plate, or is screwed into it.
    """
    return [hole.name for hole in holes if hole.kind != "dowel" and not hole.thread]


def plate_holes(
    engine: Iterable[FaceHole], gearbox: Iterable[FaceHole], rotation: float, thickness: float
) -> tuple[PlateHole, ...]:
    """The plate's holes: the engine's, then the gearbox's turned by `rotation` [deg]. `thickness` [mm].

    The holes are those of the plate (see `opposite`). Raises the standards' errors for a thread that they do not state.
    """
    placed = [(Side.ENGINE, hole) for hole in engine]
    placed += [(Side.GEARBOX, turned(hole, rotation)) for hole in gearbox]
    return tuple(_plate_hole(side, hole, thickness) for side, hole in placed)


def _plate_hole(of: Side, hole: FaceHole, thickness: float) -> PlateHole:
    widest = max(hole.diameter, hole.head_diameter)
    return PlateHole(
        name=plate_name(of, hole.name),
        of=of,
        x=hole.x,
        y=hole.y,
        diameter=hole.diameter,
        widest=widest,
        kind=hole.kind,
        operations=tuple(_operations(of, hole, thickness)),
        uncertainty=hole.uncertainty,
    )


def _operations(of: Side, hole: FaceHole, thickness: float) -> list[Operation]:
    if hole.kind == "dowel":
        drill = hole.diameter - REAM_ALLOWANCE
        # All dowels in one clamping, whichever side they locate: the second set would be a set-up error off.
        ream = Operation(
            HoleOperation.REAM, Side.GEARBOX, hole.diameter, phrase("reamer {num} H7", num=num(hole.diameter)), THROUGH
        )
        return [_drill(Side.GEARBOX, drill), ream]
    if hole.kind == "tapped":
        return _tapped(of, hole)
    # The head of the engine's bolt sits on the side that the gearbox covers, and the other way round.
    other = Side.GEARBOX if of is Side.ENGINE else Side.ENGINE
    found = [_drill(other, hole.diameter)]
    if hole.head_diameter <= hole.diameter:
        return found
    work, tool = HoleOperation.SEAT, phrase("counterbore {num}", num=num(hole.head_diameter))
    if hole.kind == "countersunk":
        work, tool = HoleOperation.SINK, phrase("countersink 90°, {num}", num=num(hole.head_diameter))
    return [*found, Operation(work, other, hole.head_diameter, tool, _depth_words(hole, thickness))]


def _depth_words(hole: FaceHole, thickness: float) -> str:
    deep = seat_depth(hole)
    if hole.kind == "countersunk":
        words = phrase(
            "{num} mm, until the head lies flush or below", num=num((hole.head_diameter - hole.diameter) / 2, ".1f")
        )
    else:
        words = f"{num(deep, '.1f')} mm" if deep else phrase("to the head's height + 0.4 mm")
    if deep >= thickness:
        words += phrase("; DEEPER THAN THE PLATE ({num} mm): choose another head", num=num(thickness))
    return words


def _drill(side: Side, diameter: float) -> Operation:
    return Operation(HoleOperation.DRILL, side, diameter, phrase("drill {num}", num=num(diameter)), THROUGH)


def _tapped(of: Side, hole: FaceHole) -> list[Operation]:
    if not hole.thread:
        tap = Operation(
            HoleOperation.TAP,
            of,
            hole.diameter,
            phrase("tap, thread not on record, major {major}", major=num(hole.diameter)),
            THROUGH,
        )
        return [
            Operation(HoleOperation.DRILL, of, hole.diameter * 0.85, phrase("drill by the tap's own table"), THROUGH),
            tap,
        ]
    thread = threads.find(hole.thread)
    drill = thread.tap_drill * 1000
    source = phrase("ISO 2306") if thread.tabulated_drill else "d − P"
    first = replace(_drill(of, round(drill, 2)), tool=phrase("drill {num} ({source})", num=num(drill), source=source))
    return [
        first,
        Operation(
            HoleOperation.TAP,
            of,
            thread.major_diameter * 1000,
            phrase("tap {designation} 6H", designation=thread.designation),
            THROUGH,
            f"{thread.designation} 6H",
        ),
    ]


def seat_depth(hole: FaceHole) -> float:
    """How deep a head is sunk into the plate [mm] for its top to lie flush or below; 0 where its thread is unknown."""
    if not hole.thread:
        return 0.0
    kind, deeper = ("countersunk", 0.0) if hole.kind == "countersunk" else ("socket", SEAT_DEEPER)
    return heads.find(kind, threads.find(hole.thread)).height * 1000 + deeper


def smallest_wall(holes: Sequence[PlateHole]) -> tuple[float, str]:
    """The least material between two holes, seats included [mm], and between which; (inf, "") for fewer than two."""
    walls = [
        (
            hypot(a.x - b.x, a.y - b.y) - (a.widest + b.widest) / 2,
            phrase("{name} and {name_2}", name=a.name, name_2=b.name),
        )
        for at, a in enumerate(holes)
        for b in holes[at + 1 :]
    ]
    return min(walls, default=(float("inf"), ""))


def turn_of(work: str, kind: str, diameter: float) -> tuple[int, bool, float]:
    """When an operation's turn comes in a set-up: by kind of work, dowel holes before all others, then by size.

    Dowels come first because everything else is located on them.
    """
    return list(HoleOperation).index(HoleOperation(work)), kind != "dowel", diameter
