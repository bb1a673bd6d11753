"""A bolt in the part that it clamps, cut along it: head, washer, hole and the face that is pressed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Item, Polyline, Tone
from specs.drawings.sections import along, axis, box, cut, diameter, threaded, uncut

_ACROSS = 24.0  # mm that the thread is drawn
_THICKEST = 62.0


@dataclass(frozen=True)
class BoltInPart:
    """Sizes [m]: thread and root, hole, what the head presses on, washer, clamped length where it is known.

    words: of the pressed face, the hole and the clamped length.
    """

    major: float
    minor: float
    hole: float
    pressed: float
    washer: tuple[float, float]
    grip: float | None
    words: tuple[str, str, str]


def bolt_in_part(shown: BoltInPart) -> Iterator[Item]:
    """Draw the part cut, bolt and washer whole, with the diameters between which the head presses."""
    scale = _ACROSS / shown.major
    half, hole = _ACROSS / 2, shown.hole / 2 * scale
    face = min(max(shown.pressed / 2 * scale, hole + 1), 3 * _ACROSS)
    washer = min(shown.washer[0] * scale, 12.0)
    deep = min((shown.grip or 2.5 * shown.major) * scale, _THICKEST)
    wide = max(face, min(shown.washer[1] / 2 * scale, 3 * _ACROSS)) + 9
    for low, high in ((hole, wide), (-wide, -hole)):
        yield from cut(box(0, deep, low, high))
        yield from cut(box(deep, deep + 18, *((half, wide) if low > 0 else (-wide, -half))), 135)
    if washer:
        outside = min(shown.washer[1] / 2 * scale, wide - 2)
        yield Polyline(box(-washer, 0, -outside, outside), closed=True, fill=Tone.PLAIN)
    head = max(min(face, 1.6 * half), half + 1)
    yield uncut(box(-washer - 0.65 * _ACROSS, -washer, -head, head))
    yield uncut(box(-washer, deep, -half, half))
    yield from threaded(deep, deep + 15, half, half * shown.minor / shown.major)
    yield axis(-washer - 22, deep + 24)
    yield diameter(0, 2 * face, shown.words[0], -washer - 0.65 * _ACROSS - 9)
    yield diameter(deep + 18, 2 * hole, shown.words[1], 9)
    if shown.grip is not None:
        yield along(0, deep, -wide, shown.words[2], -9)
