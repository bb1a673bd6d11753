"""A hole pattern as a drawing: holes by their kind, names, the datum, the outline."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from django.utils.translation import gettext

from shop.base.written import num
from shop.measuring.pattern_compare import HoleLike, PatternComparison
from specs.drawings.annotation import Arrow, CentreMark
from specs.drawings.labels import LabelSpot, set_aside
from specs.drawings.primitives import Arc, Circle, Drawing, Item, Polyline, Role, Stroke, Text, Tone
from specs.plate.pattern_doubts import span

DATUM_REACH = 3  # of each arm of the datum's cross, in heights of a letter


def pattern_drawing(
    title: str,
    holes: Sequence[HoleLike],
    outline: Sequence[Sequence[float]],
    seen: str,
    old_origin: Sequence[float] | None = None,
) -> Drawing:
    """The face as seen from the side it was measured from, its datum marked, and the datum it was moved from."""
    letters = _letter_height(holes, outline)
    items: list[Item] = [*_datum(letters)]
    lines: list[Any] = [[*outline, outline[0]]] if len(outline) >= 3 else []
    if lines:
        items.append(Polyline(tuple((x, y) for x, y in outline), closed=True, role=Role.OUTLINE))
    if old_origin:
        x, y = old_origin
        reach = 2 * letters
        items += [CentreMark((x, y), reach), Text((x, y - 2 * reach), gettext("old datum"), letters, "middle")]
        lines += [[(x - reach, y), (x + reach, y)], [(x, y - reach), (x, y + reach)]]
    for hole in holes:
        items += hole_items(hole)
    items += _names(holes, letters, lines)
    names = ", ".join(
        gettext("{name} at {x}, {y}").format(name=hole.name, x=num(hole.x, ".3f"), y=num(hole.y, ".3f"))
        for hole in holes[:60]
    )
    return Drawing(
        title, gettext("Seen {seen}. Holes, in mm from the datum: {names}.").format(seen=seen, names=names), items
    )


def _letter_height(holes: Iterable[HoleLike], outline: Sequence[Sequence[float]]) -> float:
    places = [{"x": hole.x, "y": hole.y} for hole in holes] + [{"x": x, "y": y} for x, y in outline]
    return max(2.0, span([*places, {"x": 0.0, "y": 0.0}]) / 40)


def _datum(letters: float) -> Iterator[Item]:
    reach = DATUM_REACH * letters
    yield CentreMark((0.0, 0.0), reach)
    yield Circle((0.0, 0.0), letters / 2, role=Role.CENTRE)
    yield Arrow((0.0, 0.0), (reach, 0.0), "x", height=letters)
    yield Arrow((0.0, 0.0), (0.0, reach), "y", height=letters)


def _names(holes: Iterable[HoleLike], letters: float, lines: Iterable[Any] = ()) -> tuple[Text, ...]:
    reach = DATUM_REACH * letters
    axes = [[(-reach, 0.0), (reach + letters, 0.0)], [(0.0, -reach), (0.0, reach + 2 * letters)]]
    spots = [LabelSpot((hole.x, hole.y), 0.65 * max(hole.diameter, hole.head_diameter), hole.name) for hole in holes]
    return set_aside(spots, letters, [*axes, *lines])


def hole_items(hole: HoleLike, role: Role = Role.OUTLINE) -> Iterator[Item]:
    """One hole: a dowel filled, a tapped one with the thin three-quarter circle of ISO 6410-1, a sunk one doubled."""
    centre, radius = (hole.x, hole.y), hole.diameter / 2
    yield Circle(centre, radius, role=role, fill=Tone.METAL if hole.kind == "dowel" else None)
    if hole.kind == "tapped":
        yield Arc(centre, radius * 1.2, 100, 10, role=role, stroke=Stroke.NARROW)
    if hole.head_diameter > hole.diameter:
        yield Circle(centre, hole.head_diameter / 2, role=role, stroke=Stroke.NARROW)
    yield CentreMark(centre, max(radius, hole.head_diameter / 2) * 1.3)


def overlay_drawing(
    title: str, first: Sequence[HoleLike], second: Sequence[HoleLike], laid: PatternComparison
) -> Drawing:
    """The second measurement laid on the first; what misses stands beside each hole."""
    letters = _letter_height(first, ())
    items: list[Item] = [*_datum(letters)]
    for hole in first:
        items += hole_items(hole, Role.ENGINE)
    items += _names(first, letters)
    for hole in second:
        items.append(Circle(laid.laid((hole.x, hole.y)), hole.diameter / 2, role=Role.GEARBOX))
    misses = ", ".join(f"{pair.name} {num(pair.off, '.3f')} mm" for pair in laid.pairs)
    return Drawing(
        title,
        gettext("The first measurement in full lines, the second in double chain lines. Off: {misses}.").format(
            misses=misses
        ),
        items,
    )
