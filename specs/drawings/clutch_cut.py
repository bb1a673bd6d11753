"""A dry clutch cut along its shaft, the half above the axis: flywheel, disc with its linings, pressure plate, cover."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import Arrow
from specs.drawings.primitives import Item, Line, Polyline, Role, Text, Tone
from specs.drawings.sections import LETTERS, axis, box, cut
from specs.phrase import phrase

# mm from the flywheel's face: lining, disc, lining, pressure plate, and what stands behind it.
_LINING, _DISC, _PLATE, _FLYWHEEL = 4.0, 2.0, 10.0, 13.0
_LEAST = 1.0


@dataclass(frozen=True)
class ClutchCut:
    """Radii [mm on the sheet] of the lining; force: the clamp force in words; faces: how many rub."""

    inner: float
    outer: float
    force: str
    faces: int


def clutch_cut(shown: ClutchCut, left: float) -> Iterator[Item]:
    """Draw the cut from `left` [mm] on, arrows where the cover presses; a clutch of more faces has more discs."""
    inner, outer = shown.inner, max(shown.outer, shown.inner + _LEAST)
    face = left + _FLYWHEEL
    yield from cut(box(left, face, 8, outer + 6), 45)
    plate = face + 2 * _LINING + _DISC
    for start in (face, face + _LINING + _DISC):
        yield Polyline(box(start, start + _LINING, inner, outer), closed=True, fill=Tone.SOLID)
    yield Polyline(box(face + _LINING, face + _LINING + _DISC, 5, outer), closed=True, fill=Tone.METAL)
    yield from cut(box(plate, plate + _PLATE, inner - 1, outer + 1), 135)
    middle = (inner + outer) / 2
    yield Arrow((plate + _PLATE + 20, middle), (plate + _PLATE + 1, middle), role=Role.ENGINE, height=LETTERS)
    yield Text((plate + _PLATE + 3, middle + 4), shown.force, LETTERS)
    yield Line((face - 3, 5), (plate + _PLATE + 14, 5))
    yield axis(left - 4, plate + _PLATE + 18)
    discs = phrase("one disc") if shown.faces == 2 else phrase("{faces} faces", faces=shown.faces)
    for row, words in enumerate(
        (phrase("cut: {discs},", discs=discs), phrase("flywheel left,"), phrase("plate right"))
    ):
        yield Text((left, -4 - LETTERS - row * 6.5), words, LETTERS)
