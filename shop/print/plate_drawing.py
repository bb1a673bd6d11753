"""A plate drawn from one side: outline, datum, every hole with its name, the side written into it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from math import cos, hypot, sin, tau

from django.utils.translation import gettext, ngettext

from shop.base.language import gettext_lazy
from shop.print.plate_card_facts import HoleFacts, PlateFacts, WindowFacts
from specs.drawings.annotation import Arrow, CentreMark
from specs.drawings.labels import LabelSpot, set_aside
from specs.drawings.primitives import Circle, Drawing, Extent, Item, Polyline, Role, Stroke, Text, Tone, bounds_of
from specs.plate.machining import HoleOperation
from specs.plate.sides import Side

LETTER = {Side.GEARBOX: "G", Side.ENGINE: "E"}
# What comes between the letter of the side and the number, where it is longer than a drawing has room for.
_LONG_NAME = re.compile(r"^([A-Z]-)\D.{7,}?(\d+)$")
UP = {Side.GEARBOX: gettext_lazy("GEARBOX SIDE UP"), Side.ENGINE: gettext_lazy("ENGINE SIDE UP")}


def seen(x: float, side: Side) -> float:
    """An x of the facts as somebody sees it who faces that side."""
    return x if side is Side.GEARBOX else -x


def reach_of(facts: PlateFacts, side: Side) -> Extent:
    """The rectangle round everything on the plate [mm], a line's width wider, names not counted."""
    rims = [Circle((seen(h.x, side), h.y), h.widest / 2) for h in facts.holes]
    return bounds_of([*_outline(facts, side), *window_items(facts, side), *rims]).grown(1.0)


def plate_drawing(facts: PlateFacts, side: Side, letters: float | None = None) -> Drawing:
    """The plate from a side, full size in mm; `letters` is the height of its names."""
    reach = reach_of(facts, side)
    height = letters or max(reach.width, reach.height) / 38
    said, aside = _named_windows(facts, side, height)
    fixed = [*_datum(height, side), *said]
    items: list[Item] = [*_outline(facts, side), *window_items(facts, side), *fixed]
    for hole in facts.holes:
        items += _hole(hole, side)
    names = drawn_names(facts)
    spots = [LabelSpot((seen(h.x, side), h.y), h.widest / 2, names[h.name], Role.TEXT) for h in facts.holes]
    items += set_aside([*spots, *aside], height, [*_lines(facts, side), *map(_rim_of, fixed)])
    return Drawing(
        gettext("Plate, {UP}").format(UP=str(UP[side]).lower()),
        _seen_from(len(facts.holes), side),
        items,
    )


def _seen_from(holes: int, side: Side) -> str:
    if side is Side.GEARBOX:
        said = ngettext("{holes} hole seen from the gearbox side.", "{holes} holes seen from the gearbox side.", holes)
    else:
        said = ngettext("{holes} hole seen from the engine side.", "{holes} holes seen from the engine side.", holes)
    return said.format(holes=holes)


def drawn_names(facts: PlateFacts) -> dict[str, str]:
    """How a drawing names each hole: those of a long name by the letter of their side and their number, "E-12"."""
    names = [hole.name for hole in facts.holes]
    short = [_LONG_NAME.sub(r"\1\2", name) for name in names]
    return dict(zip(names, short if len(set(short)) == len(names) else names, strict=True))


def brief_names_words(facts: PlateFacts) -> str:
    """Say how names are shortened on a drawing, by the first of each side; "" where none is."""
    names = drawn_names(facts)
    brief = {
        short[:1]: gettext("{short} is {name}").format(short=short, name=name)
        for name, short in reversed(names.items())
        if name != short
    }
    said = ", ".join(brief[letter] for letter in sorted(brief))
    return (
        gettext("Long names are short on the drawing, side and number only: {said}.").format(said=said) if said else ""
    )


def briefly_named(facts: PlateFacts) -> PlateFacts:
    """The facts with the holes named in tables as on the drawing, where the first of a side tells all the others."""
    names = drawn_names(facts)
    left_away = {(name[0], name.removesuffix(short[2:])) for name, short in names.items() if name != short}
    if len({letter for letter, _ in left_away}) < len(left_away):
        return facts
    return replace(facts, holes=tuple(replace(hole, name=names[hole.name]) for hole in facts.holes))


def _named_windows(facts: PlateFacts, side: Side, height: float) -> tuple[list[Text], list[LabelSpot]]:
    """The names that fit into their windows, above the datum's cross where that is in the middle; the others beside."""
    said, aside = [], []
    for window in facts.windows:
        x, y = seen(window.x, side), window.y
        round_datum = hypot(x, y) < 6 * height
        text = Text((x, 6 * height if round_datum else y - height / 2), window.name, height, "middle")
        rim = bounds_of([_rim(window, side)])
        if window.name and text.width > 0.85 * rim.width:
            aside.append(LabelSpot((x, y), max(rim.width, rim.height) / 2, window.name, Role.TEXT))
        else:
            said.append(text)
    return said, aside


def _rim_of(item: Item) -> list[tuple[float, float]]:
    """A path over all of an item's rectangle, for names to keep off."""
    box = bounds_of([item])
    middle = (box.bottom + box.top) / 2
    return [
        (box.left, box.bottom),
        (box.right, box.bottom),
        (box.right, middle),
        (box.left, middle),
        (box.left, box.top),
        (box.right, box.top),
    ]


def _outline(facts: PlateFacts, side: Side) -> list[Item]:
    corners = tuple((seen(x, side), y) for x, y in facts.outline)
    return [Polyline(corners, closed=True, role=Role.OUTLINE)] if len(corners) > 2 else []


def _lines(facts: PlateFacts, side: Side) -> Iterator[list[tuple[float, float]]]:
    """The rims that names keep off: outline and windows, a round one as a polygon."""
    rims = [facts.outline, *(one.corners or tuple(_ring(one)) for one in facts.windows)]
    for rim in rims:
        if rim:
            yield [(seen(x, side), y) for x, y in (*rim, rim[0])]


def _ring(window: WindowFacts) -> Iterator[tuple[float, float]]:
    for at in range(36):
        angle = tau * at / 36
        yield window.x + window.diameter / 2 * cos(angle), window.y + window.diameter / 2 * sin(angle)


def window_items(facts: PlateFacts, side: Side) -> list[Item]:
    """The rims of the windows as somebody sees them who faces that side."""
    return [_rim(window, side) for window in facts.windows]


def _rim(window: WindowFacts, side: Side) -> Item:
    if window.diameter:
        return Circle((seen(window.x, side), window.y), window.diameter / 2, role=Role.OUTLINE)
    return Polyline(tuple((seen(x, side), y) for x, y in window.corners), closed=True, role=Role.OUTLINE)


def _datum(height: float, side: Side) -> Iterator[Item]:
    yield CentreMark((0.0, 0.0), 4 * height)
    yield Circle((0.0, 0.0), height / 3, Tone.SOLID, role=Role.OUTLINE)
    yield Arrow((0.0, 0.0), (4 * height, 0.0), "x", height=height)
    yield Arrow((0.0, 0.0), (0.0, 4 * height), "y", height=height)
    yield Text((0.0, -5 * height), UP[side], 1.2 * height, "middle")
    yield Text((0.0, -8.5 * height), LETTER[side], 2.4 * height, "middle")


def _hole(hole: HoleFacts, side: Side) -> Iterator[Item]:
    at, radius = (seen(hole.x, side), hole.y), hole.diameter / 2
    here = any(operation.side == side for operation in hole.operations)
    yield Circle(at, radius, Tone.METAL if hole.kind == "dowel" else None, role=Role.OUTLINE)
    if hole.widest > hole.diameter:
        seat_here = any(o.side == side for o in hole.operations if o.work in (HoleOperation.SEAT, HoleOperation.SINK))
        yield Circle(at, hole.widest / 2, role=Role.OUTLINE if seat_here else Role.HIDDEN, stroke=Stroke.NARROW)
    yield CentreMark(at, radius + (2.5 if here else 1.0))
