"""Heads of metric bolts: hexagon ISO 4014, socket ISO 4762, flange EN 1665, countersunk ISO 10642.

ISO 4017, threaded to the head, has the hexagons of ISO 4014 (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING

from specs.phrase import phrase
from specs.standards.publications import Row, Source, load, millimetres, optional_millimetres, source_of

if TYPE_CHECKING:
    from specs.standards.threads import Thread

# ISO 4014 makes hexagon heads to product grade A up to this size, to grade B above it.
_LARGEST_GRADE_A = 0.024


class NoHead(ValueError):
    """A head that the standards do not state for a thread; the words say which sizes there are."""


@dataclass(frozen=True)
class Head:
    """One bolt head, SI.

    kind: "hex", "socket", "flange" or "countersunk". grade: product grade A or B.
    across_flats: s of the hexagon or of its socket. height: k (nominal for hex, else maximum).
    outside: largest diameter: dk of a socket head, dc of a flange, theoretical dk of a countersunk head.
    bearing: smallest outside diameter of the bearing face: dw,min, or the smallest real dk of a countersunk head.
    """

    kind: str
    grade: str
    size: float
    across_flats: float
    height: float
    outside: float | None
    bearing: float
    source: Source


def _head(row: Row) -> Head:
    return Head(
        kind=row["head"],
        grade=row["grade"],
        size=millimetres(row["size_mm"]),
        across_flats=millimetres(row["across_flats_mm"]),
        height=millimetres(row["height_mm"]),
        outside=optional_millimetres(row["outside_mm"]),
        bearing=millimetres(row["bearing_mm"]),
        source=source_of(row),
    )


@cache
def table() -> tuple[Head, ...]:
    """Return every head of the tables."""
    return load("heads", _head)


@cache
def kinds() -> tuple[str, ...]:
    """Return the kinds of head, in the order of the table."""
    return tuple(dict.fromkeys(head.kind for head in table()))


@cache
def find(kind: str, thread: Thread) -> Head:
    """Return the head of a kind at a thread's size, in the product grade usual at that size.

    Raises NoHead for an inch thread, and for a size that the standard of that head lacks.
    """
    of_kind = [head for head in table() if head.kind == kind]
    if not of_kind:
        raise NoHead(phrase("“{kind}” is not a head; choose {kinds}", kind=kind[:40], kinds=", ".join(kinds())))
    if not thread.is_metric:
        raise NoHead(
            phrase("the tables hold heads of metric bolts only, none for {designation}", designation=thread.designation)
        )
    usual = "B" if kind == "hex" and thread.major_diameter > _LARGEST_GRADE_A else "A"
    for head in of_kind:
        if head.size == thread.major_diameter and head.grade == usual:
            return head
    sizes = ", ".join(dict.fromkeys(f"M{head.size * 1000:g}" for head in of_kind))
    raise NoHead(
        phrase(
            "no {kind} head is standard for {designation}; there are {sizes}",
            kind=kind,
            designation=thread.designation,
            sizes=sizes,
        )
    )
