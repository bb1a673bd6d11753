"""The holes of one set of fasteners where they were measured, each with its turn in the tightening sequence."""

from __future__ import annotations

from os.path import commonprefix

from django.utils.translation import gettext

from shop.print.card_facts import HolePlan
from specs.drawings.annotation import CentreMark
from specs.drawings.labels import LabelSpot, set_aside
from specs.drawings.primitives import Circle, Drawing, Item, Polyline, Role, Stroke, Text, Tone, bounds_of

_FEW = 12
_LETTER = 32  # the drawing is so many capitals wide, whatever the size of the face


def common_start(plan: HolePlan) -> str:
    """What all names of many holes begin with: the drawing leaves it out, so that the rest can be read."""
    names = [hole.name for hole in plan.holes]
    start = commonprefix(names) if len(names) > _FEW else ""
    return start if len(start) > 2 and all(len(name) > len(start) for name in names) else ""


def torque_drawing(plan: HolePlan) -> Drawing:
    """The plan in mm: a ring with the turn in it at each hole, the hole's name beside it, the outline where known."""
    start = len(common_start(plan))
    turns = {name: turn for turn, name in enumerate(plan.sequence, start=1)}
    corners = plan.outline if len(plan.outline) > 2 else ()
    room = bounds_of(
        [*(Circle((hole.x, hole.y), hole.diameter) for hole in plan.holes), *([Polyline(corners)] if corners else [])]
    )
    letters = max(room.width, room.height) / _LETTER
    ring = 1.25 * letters if len(plan.holes) < 20 else letters
    items: list[Item] = [CentreMark((0.0, 0.0), 2 * letters)]
    if corners:
        items.append(Polyline(corners, closed=True, role=Role.OUTLINE))
    for hole in plan.holes:
        items.append(Circle((hole.x, hole.y), ring, Tone.PLAIN, role=Role.OUTLINE, stroke=Stroke.WIDE))
        items.append(Text((hole.x, hole.y - letters / 2), str(turns[hole.name]), letters, "middle"))
    spots = [LabelSpot((hole.x, hole.y), ring, hole.name[start:]) for hole in plan.holes]
    items += set_aside(spots, 0.8 * letters, [[*corners, corners[0]]] if corners else [])
    said = ", ".join(f"{turn} {name}" for name, turn in turns.items())
    return Drawing(
        gettext("Tightening sequence"), gettext("Seen {seen}: {said}.").format(seen=plan.seen, said=said), items
    )
