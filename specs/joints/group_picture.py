"""The picture of a bolt group: every bolt with the shear force that it would carry without friction."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from specs.drawings.annotation import CentreMark
from specs.drawings.loaded_points import LETTERS, LoadedPoint, loaded_points, loads_drawn, scale_of
from specs.drawings.primitives import Drawing, Item, Text
from specs.drawings.sections import sheet
from specs.engine.units import FORCE, TORQUE, show
from specs.geometry.points import Point
from specs.joints.bolted import Bolt, Joint
from specs.phrase import phrase


def group_picture(joint: Joint, left_out: Sequence[Bolt], middle: Point, most: str, shear: float) -> Drawing:
    """Draw the bolts with their shear, the middle [m], the dowels, the bolts left out, and the loads.

    most: words that name the bolt which carries the greatest shear [N].
    """
    members = list(_members(joint, left_out))
    scale = scale_of([member.at for member in members])
    turned = "counter-clockwise" if joint.torque > 0 else "clockwise"
    torque = (
        phrase("torque {show} {turned}", show=show(abs(joint.torque), TORQUE), turned=turned) if joint.torque else ""
    )
    force = joint.governing_force
    at = middle[0] * scale, middle[1] * scale
    items: list[Item] = [
        *loaded_points(members, scale),
        CentreMark(at, 5),
        Text((at[0], at[1] - 10), "middle", LETTERS, "middle"),
        *loads_drawn(torque, force, phrase("force {show}", show=show(math.hypot(*force), FORCE)), at),
    ]
    words = phrase(
        "{bolts} bolts in use, each with the shear force that it would carry without friction.", bolts=len(joint.bolts)
    )
    return sheet(phrase("Bolt group"), f"{words} {most}, {show(shear, FORCE)}.", items)


def _members(joint: Joint, left_out: Sequence[Bolt]) -> Iterator[LoadedPoint]:
    for bolt, force in zip(joint.bolts, joint.shears, strict=True):
        yield LoadedPoint((bolt.x, bolt.y), f"{bolt.name} {show(math.hypot(*force), FORCE, figures=3)}", force)
    for bolt in left_out:
        yield LoadedPoint((bolt.x, bolt.y), phrase("{name} left out", name=bolt.name), look="absent")
    for dowel in joint.dowels:
        yield LoadedPoint((dowel.x, dowel.y), phrase("dowel {name}", name=dowel.name), look="dowel")
