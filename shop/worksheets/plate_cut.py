"""How a plate's holes are cut: what each face asks of the plate, with the seats of its heads, less those left out.

How a plate is made and what it leaves out are records of a room above; they are read through the reverse relations of
the worksheet, so that worksheet, clocking page, sheets and files reckon with one set of holes.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shop.base.written import num
from shop.worksheets.rules import MADE, RECORD, Origin
from specs.engine.fields import fields_of
from specs.phrase import joined, phrase
from specs.plate.machining import FaceHole, opposite
from specs.plate.sides import Side, plate_name

if TYPE_CHECKING:
    from shop.worksheets.models import Worksheet
    from specs.models import HolePattern

PLATE = "plate-layout"
USUAL_HEAD = "socket"


@dataclass(frozen=True)
class PlateCut:
    """The records beside a plate's worksheet: how it is made (None: the usual), and the holes that it leaves out."""

    making: Any
    left_out: Mapping[tuple[str, str], str]

    def head_of(self, side: Side, hole: str) -> str:
        """Return the kind of head that a bolt has in a hole."""
        return str(self.making.head_of(plate_name(side, hole))) if self.making else USUAL_HEAD

    def is_left_out(self, path: str, hole: str) -> bool:
        """Whether a hole of a side is not machined."""
        return (path, hole) in self.left_out

    def opposite(self, side: Side, hole: FaceHole) -> FaceHole:
        """Return what the plate needs opposite a hole of a face. Raises ValueError for a thread that no table has."""
        return opposite(hole, self.head_of(side, hole.name))

    def rows(self, row: type, pattern: HolePattern, side: Side, mirrored: float) -> list[dict[str, Any]]:
        """Write a face's holes as rows of the plate's table, in mm, those that are left out left out."""
        columns = fields_of(row)
        kept = (hole for hole in face_holes(pattern, mirrored) if not self.is_left_out(side, hole.name))
        return [_row(self.opposite(side, hole), columns) for hole in kept]

    @property
    def origins(self) -> tuple[Origin, ...]:
        """How it is made and what it leaves out, in words, as a part of what is accepted."""
        made = phrase("as usual, nobody has chosen yet")
        if self.making:
            floor = phrase("{num} mm under a head", num=num(self.making.floor))
            made = phrase(
                "{alloy}, {heads}, bolts {grade}, {floor}",
                alloy=self.making.alloy,
                heads=phrase(self.making.heads),
                grade=self.making.grade,
                floor=floor,
            )
        out = (
            phrase("{hole}: {why}", hole=plate_name(Side(side), hole), why=phrase(str(why)))
            for (side, hole), why in sorted(self.left_out.items())
        )
        return (
            Origin("made", phrase("How the plate is made"), MADE, made),
            Origin("left_out", phrase("Holes left out"), MADE, joined("; ", out) or phrase("none")),
        )


def plate_cut(worksheet: Worksheet) -> PlateCut | None:
    """Read how a plate is cut; None for a worksheet of anything else."""
    if worksheet.calculation != PLATE:
        return None
    out = {(one.side, one.hole): one.kind for one in worksheet.left_out.all() if one.deleted_at is None}
    return PlateCut(getattr(worksheet, "making", None), out)


def _row(hole: FaceHole, columns: Mapping[str, Any]) -> dict[str, Any]:
    # A hole whose thread nobody knows takes a bolt all the same: it is asked for, as that of a clearance hole is.
    kind = "clearance" if hole.kind == "tapped" and not hole.thread else hole.kind
    values = {"name": hole.name, "x": hole.x, "y": hole.y, "diameter": hole.diameter, "kind": kind}
    values |= {"head_diameter": hole.head_diameter, "bolt": hole.thread}
    return {name: value for name, value in values.items() if name in columns}


def record_origins(worksheet: Worksheet) -> tuple[Origin, ...]:
    """Title and component as a part of what is accepted: another one is another statement."""
    component = str(worksheet.component) if worksheet.component else phrase("none")
    return Origin("title", phrase("Title"), RECORD, worksheet.title), Origin(
        "component", phrase("Component"), RECORD, component
    )


def face_holes(pattern: HolePattern, mirrored: float) -> list[FaceHole]:
    """Return the holes of a measured face in mm as seen from the gearbox side; mirrored: −1 where it was seen from the
    other one.
    """
    return [
        FaceHole(
            name=hole.name,
            x=mirrored * hole.x,
            y=hole.y,
            diameter=hole.diameter,
            kind=hole.kind,
            thread=hole.fastener,
            head_diameter=hole.head_diameter,
            uncertainty=hole.uncertainty,
        )
        for hole in pattern.holes.all()
    ]
