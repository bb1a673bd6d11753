"""In every picture labels stand clear of one another and of every line, and only cut metal is hatched."""

from __future__ import annotations

import contextlib
import math
import os
import random
from collections.abc import Iterator
from itertools import combinations, pairwise

import pytest

from specs.drawings.clearance import cleared
from specs.drawings.primitives import Arc, Circle, Line, Point, Polyline, Role, Shape, Stroke, Text, Tone
from specs.drawings.sections import tapped
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.drawings.test_every_picture import unlikely

DRAWN = {name: found for name, found in calculations().items() if found.drawing}
DRAWS = 4 if os.environ.get("CI") == "true" else 12
EVERY = pytest.mark.parametrize("name", DRAWN)
# The estimate of a text's width is a generous one; letters stand within this share of it.
_TRUE_WIDTH = 0.82


def shapes_of(name: str) -> tuple[Shape, ...]:
    answer = solve(DRAWN[name], DRAWN[name].example)
    picture = DRAWN[name].drawing(answer.given, answer.found)
    assert picture, name
    return picture.shapes


def corners_of(text: Text) -> list[Point]:
    """The rectangle that the letters fill: the width of the words, from the baseline to the capitals' height."""
    width = text.width * _TRUE_WIDTH
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor]
    c, s = math.cos(math.radians(text.rotation)), math.sin(math.radians(text.rotation))
    box = [(left, 0.0), (left + width, 0.0), (left + width, text.height), (left, text.height)]
    return [(text.place[0] + x * c - y * s, text.place[1] + x * s + y * c) for x, y in box]


def overlap(one: list[Point], other: list[Point]) -> bool:
    """Whether two convex outlines share more than an edge: no straight line parts them."""
    for outline in (one, other):
        for (x1, y1), (x2, y2) in pairwise([*outline, outline[0]]):
            normal = y2 - y1, x1 - x2
            first, second = (sorted(x * normal[0] + y * normal[1] for x, y in them) for them in (one, other))
            size = math.hypot(*normal) or 1.0
            if first[-1] <= second[0] + 0.05 * size or second[-1] <= first[0] + 0.05 * size:
                return False
    return True


def segments(shape: Shape) -> Iterator[tuple[Point, Point]]:
    match shape:
        case Line():
            yield shape.start, shape.end
        case Polyline():
            yield from pairwise([*shape.points, shape.points[0]] if shape.closed else shape.points)
        case Circle() | Arc():
            start, sweep = (0.0, 360.0) if isinstance(shape, Circle) else (shape.start, shape.sweep)
            turns = [math.radians(start + sweep * step / 48) for step in range(49)]
            (x, y), r = shape.centre, shape.radius
            yield from pairwise([(x + r * math.cos(a), y + r * math.sin(a)) for a in turns])


def texts(shapes: tuple[Shape, ...]) -> list[Text]:
    return [shape for shape in shapes if isinstance(shape, Text) and shape.words.strip()]


@EVERY
def test_no_label_lies_over_another_or_across_a_line(name: str) -> None:
    shapes = shapes_of(name)
    assert not over_another(shapes)
    assert not across_a_line(shapes)


@EVERY
def test_labels_stand_clear_whatever_the_sizes(name: str) -> None:
    # Hair thin, a thousand kilometres long, nought: whatever is not refused is drawn legibly.
    chance = random.Random(name)
    for _ in range(DRAWS):
        given = unlikely(dict(DRAWN[name].example), chance)
        with contextlib.suppress(BadInput):
            answer = solve(DRAWN[name], given)
            picture = DRAWN[name].drawing(answer.given, answer.found)
            assert not over_another(picture.shapes), given
            assert not across_a_line(picture.shapes), given


def over_another(shapes: tuple[Shape, ...]) -> list[tuple[str, str]]:
    boxes = [(text.words, corners_of(text)) for text in texts(shapes)]
    return [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if overlap(one, other)]


def covered_from(shapes: tuple[Shape, ...], corners: list[Point]) -> int:
    """How many shapes at the start are hidden where a text stands, by a filled area drawn over them."""
    under = [
        at
        for at, shape in enumerate(shapes)
        if isinstance(shape, Circle | Polyline) and shape.fill and all(inside(outline_of(shape), c) for c in corners)
    ]
    return max(under, default=-1) + 1


def outline_of(shape: Shape) -> list[Point]:
    return [start for start, _ in segments(shape)]


def across_a_line(shapes: tuple[Shape, ...]) -> set[str]:
    crossed = set()
    for text in texts(shapes):
        corners = corners_of(text)
        seen = shapes[covered_from(shapes, corners) :]
        lines = [one for s in seen if not isinstance(s, Text) and s.role != Role.GRID for one in segments(s)]
        if any(start != end and overlap(corners, [start, end]) for start, end in lines):
            crossed.add(text.words)
    return crossed


def inside(outline: list[Point], point: Point) -> bool:
    x, y = point
    edges = pairwise([*outline, outline[0]])
    return (
        sum((y1 <= y) != (y2 <= y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1) for (x1, y1), (x2, y2) in edges) % 2
        == 1
    )


@EVERY
def test_hatching_never_lies_on_what_is_seen_whole(name: str) -> None:
    # Shafts, bolts, washers and pins are the plain areas; a hatching line is a narrow slanting one of an outline.
    shapes = shapes_of(name)
    # What is drawn later lies over what was before.
    whole = [(at, list(s.points)) for at, s in enumerate(shapes) if isinstance(s, Polyline) and s.fill == Tone.PLAIN]
    hatched = [
        (at, ((s.start[0] + s.end[0]) / 2, (s.start[1] + s.end[1]) / 2))
        for at, s in enumerate(shapes)
        if isinstance(s, Line) and s.role == Role.OUTLINE and s.stroke == Stroke.NARROW and is_slanting(s)
    ]
    assert not [point for at, point in hatched for since, area in whole if at > since and inside(area, point)]


def is_slanting(line: Line) -> bool:
    run, rise = abs(line.end[0] - line.start[0]), abs(line.end[1] - line.start[1])
    return run > 1e-6 and rise > 1e-6


@pytest.mark.parametrize(
    "name",
    [
        "shrink-fit",
        "weld-group",
        "thread-engagement",
        "bolt-length",
        "fastener-torque",
        "flywheel-inertia",
        "propshaft-length",
    ],
)
def test_cut_metal_is_hatched_and_diameters_bear_their_sign(name: str) -> None:
    shapes = shapes_of(name)
    assert any(isinstance(s, Line) and s.stroke == Stroke.NARROW and is_slanting(s) for s in shapes)
    if name not in ("thread-engagement", "bolt-length"):
        assert any(text.words.startswith("⌀") for text in texts(shapes))


def test_every_calculation_has_a_picture() -> None:
    assert DRAWN.keys() == calculations().keys()


def test_a_tapped_hole_is_hatched_up_to_its_bore_with_the_thread_as_thin_lines() -> None:
    # ISO 6410-1: in section the hatching of an inside thread runs to the line of the crests; the roots are thin lines.
    shapes = [*tapped(0, 30, 10, 8.5, 20)]
    edges = {abs(y) for s in shapes if isinstance(s, Polyline) for _, y in s.points}
    thin = [s for s in shapes if isinstance(s, Line) and not is_slanting(s)]
    assert min(edges) == 8.5
    assert {abs(line.start[1]) for line in thin} == {10}
    assert {line.stroke for line in thin} == {Stroke.NARROW}
    assert min(abs(line.start[1]) for line in shapes if isinstance(line, Line) and is_slanting(line)) < 10


def test_a_label_in_the_way_is_moved_aside_and_one_without_room_is_written_below() -> None:
    line, moved = cleared([Line((0, 0), (50, 0)), Text((5, -1), "aside", 4)])
    assert moved.place != (5, -1)
    assert not across_a_line((line, moved))

    fence = [Line((0, y), (200, y)) for y in range(-40, 41, 3)]
    *_, below = cleared([*fence, Text((20, -1), "below", 4)])
    assert below.words == "below"
    assert below.place[1] < -40


def test_what_a_filled_part_hides_does_not_move_its_label() -> None:
    hidden, part = Line((0, 2), (50, 2)), Polyline(((0, 0), (50, 0), (50, 10), (0, 10)), closed=True, fill=Tone.PLAIN)
    *_, label = cleared([hidden, part, Text((10, 1), "in it", 4)])
    assert label.place == (10, 1)
