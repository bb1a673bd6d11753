"""The picture of a bolt that is tightened: cut along it in its part, and below it where the torque goes."""

from __future__ import annotations

import math
from typing import Protocol

from specs.drawings.bolt_in_part import BoltInPart, bolt_in_part
from specs.drawings.chart import shares
from specs.drawings.primitives import Drawing, one_below_another
from specs.drawings.sections import sheet
from specs.engine.units import LENGTH, TORQUE, show
from specs.joints.aim import AimedBolt
from specs.joints.fastener import Fastener
from specs.joints.seat import Ring
from specs.phrase import joined, phrase

_TITLE = phrase("Bolt in its part, and where the torque goes")


class Tightened(Protocol):
    """What was found of the tightening: torques [N·m] and preload [N]."""

    @property
    def preload(self) -> float: ...
    @property
    def torque(self) -> float: ...
    @property
    def thread_torque(self) -> float: ...


def tightened(given: AimedBolt, bolt: Fastener, found: Tightened) -> Drawing | None:
    """Draw the section where the face under the head is known, and the shares where they add up; None for neither."""
    parts = [
        part for part in (_section(given, bolt, bolt.ring) if bolt.ring else None, _shares(given, bolt, found)) if part
    ]
    if not parts:
        return None
    return one_below_another(_TITLE, joined(" ", (part.description for part in parts)), parts)


def _section(given: AimedBolt, bolt: Fastener, ring: Ring) -> Drawing:
    outside, hole = show(ring.outer, LENGTH), show(ring.inner, LENGTH)
    grip = "" if given.grip is None else show(given.grip, LENGTH)
    shown = BoltInPart(
        major=bolt.thread.major_diameter,
        minor=bolt.thread.minor_diameter,
        hole=ring.inner,
        pressed=ring.outer,
        washer=(given.washer_thickness or 0.0, given.washer_outside or 0.0),
        grip=given.grip,
        words=(outside, hole, grip),
    )
    said = phrase("The head presses between ⌀{hole} and ⌀{outside}.", hole=hole, outside=outside)
    return sheet(phrase("Bolt in its part"), said, list(bolt_in_part(shown)))


def _shares(given: AimedBolt, bolt: Fastener, found: Tightened) -> Drawing | None:
    """Where the torque goes; None where a given nut factor is too low for the friction given beside it."""
    if found.thread_torque >= found.torque:
        return None
    stretch = found.preload * bolt.thread.pitch / (2 * math.pi)
    turned_face = (
        phrase("friction under the head") if given.nut_factor is None else phrase("the rest, by the nut factor")
    )
    parts = [(phrase("stretches the bolt"), stretch), (phrase("friction in the thread"), found.thread_torque - stretch)]
    if given.prevailing_torque:
        parts.append((phrase("prevailing torque"), given.prevailing_torque))
    parts.append((turned_face, found.torque - sum(torque for _, torque in parts)))
    share = f"{100 * stretch / found.torque:.0f} %"
    words = phrase(
        "Of {show}, {share} stretches the bolt; the rest is friction.", show=show(found.torque, TORQUE), share=share
    )
    return shares(phrase("Where the torque goes"), words, phrase("share of the torque [%]"), parts)
