"""Plate layout."""

from __future__ import annotations

import io
import math
from dataclasses import replace
from itertools import combinations
from typing import Any

import ezdxf
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, union_all

from specs.drawings import dxf
from specs.drawings.primitives import Circle, Line, Polyline, Role, Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from specs.engine.response import plain
from specs.geometry.patterns import looks_mirrored, rigid_fit
from tests.specs.calculations.lines import assert_every_line_holds

PLATE = calculations()["plate-layout"]
SQUARE = [(-100, -100), (100, -100), (100, 100), (-100, 100)]


def _hole(name: str, x: float, y: float, diameter: float = 10.0, **more: Any) -> dict[str, Any]:
    return {"name": name, "x": x, "y": y, "diameter": diameter, "kind": "clearance", "bolt": "M8", **more}


def _solve(engine: list[dict[str, Any]], gearbox: list[dict[str, Any]], **more: Any) -> Answer:
    outline = [{"x": x, "y": y} for x, y in more.pop("outline", [])]
    return solve(
        PLATE, {"engine": engine, "gearbox": gearbox, "thickness": 10, "ligament": 3, "outline": outline, **more}
    )


def test_the_wall_is_between_rims_and_heads_count() -> None:
    # Independent: by hand, 5-12-13 triangle: centres 65 mm apart, less 5 and the head's 12.
    found = _solve([_hole("E", 0, 0)], [_hole("G", 25, 60, head_diameter=24)]).found

    assert found.smallest_ligament * 1e3 == pytest.approx(65 - 5 - 12)
    assert found.smallest_pair == ("engine:E", "gearbox:G")


@pytest.mark.parametrize(("apart", "clashes"), [(13.0, 0), (12.999, 1), (13.001, 0)])
def test_a_wall_of_exactly_the_limit_is_no_clash(apart: float, clashes: int) -> None:
    answer = _solve([_hole("E", 0.1, 0)], [_hole("G", 0.1 + apart, 0)])

    assert len(answer.found.clashes) == clashes
    assert answer.checks[0].passed == (clashes == 0)
    assert PLATE.solve_all
    assert [len(found.clashes) for found in PLATE.solve_all([answer.given])] == [clashes]


def test_the_revision_is_raised_with_the_method() -> None:
    assert PLATE.revision == 2


def test_walls_of_one_side_count_too_and_clashes_keep_the_order() -> None:
    found = _solve([_hole("E2", 0, 0), _hole("E1", 11, 0)], [_hole("G1", 5, 5), _hole("G0", 80, 80)]).found

    assert found.clashes == (
        ("engine:E2", "engine:E1"),
        ("engine:E2", "gearbox:G1"),
        ("engine:E1", "gearbox:G1"),
    )


holes = st.lists(
    st.tuples(st.floats(-140, 140), st.floats(-140, 140), st.floats(2, 60), st.floats(0, 40)), min_size=1, max_size=4
)


@given(holes, holes, st.floats(-180, 180))
def test_walls_edges_and_mass_agree_with_shapely(engine: Any, gearbox: Any, rotation: float) -> None:
    def rows(letter: str, listed: Any) -> list[dict[str, Any]]:
        return [_hole(f"{letter}{k}", x, y, d, head_diameter=h) for k, (x, y, d, h) in enumerate(listed)]

    try:
        found = _solve(rows("E", engine), rows("G", gearbox), rotation=rotation, outline=SQUARE).found
    except BadInput:
        return  # hypothesis likes the same hole twice
    turn = math.radians(rotation)
    turned = [
        (x * math.cos(turn) - y * math.sin(turn), x * math.sin(turn) + y * math.cos(turn)) for x, y, *_ in gearbox
    ]
    centres = [Point(x, y) for x, y, *_ in engine] + [Point(p) for p in turned]
    sizes = [(d / 2, max(d, h) / 2) for _, _, d, h in [*engine, *gearbox]]
    walls = [a.distance(b) - r - s for (a, (_, r)), (b, (_, s)) in combinations(zip(centres, sizes, strict=True), 2)]
    plate = Polygon(SQUARE)
    signs = [1 if plate.contains(c) else -1 for c in centres]
    edges = [s * plate.exterior.distance(c) - r for s, c, (_, r) in zip(signs, centres, sizes, strict=True)]
    left = plate.difference(union_all([c.buffer(r, quad_segs=512) for c, (r, _) in zip(centres, sizes, strict=True)]))

    assert found.smallest_ligament * 1e3 == pytest.approx(min(walls), abs=1e-6)
    assert found.smallest_edge * 1e3 == pytest.approx(min(edges), abs=1e-6)
    assert found.mass == pytest.approx(left.area * 1e-6 * 0.01 * 2700, abs=2e-4)


def test_the_table_turns_the_gearbox_and_mirrors_for_the_engine_side() -> None:
    found = _solve([_hole("E", 30, 10)], [_hole("G", 50, 0, kind="tapped")], rotation=90).found
    rows = {row.name: (row.kind, round(row.x, 9), round(row.y, 9), round(row.mirrored_x, 9)) for row in found.table}

    assert rows == {"engine:E": ("clearance", 0.03, 0.01, -0.03), "gearbox:G": ("tapped", 0, 0.05, 0)}


def test_both_tables_laid_on_one_another_are_the_same_holes() -> None:
    # Turning the plate over about its y axis brings the engine-side table onto the gearbox-side table.
    rows = plain(solve(PLATE, PLATE.example))["outputs"]["table"]["rows"]

    assert all(row["mirrored_x"] == -row["x"] for row in rows)
    assert len(rows) == 8


def test_both_sides_cut_from_their_files_are_one_plate() -> None:
    # Independent: each side's coordinates through a DXF file and back, then laid on one another.
    rows = solve(PLATE, {**PLATE.example, "rotation": 20}).found.table
    up = {row.name: (row.x * 1e3, row.y * 1e3) for row in rows}
    turned_over = {row.name: (row.mirrored_x * 1e3, row.y * 1e3) for row in rows}
    sides = []
    for places in (up, turned_over):
        layers = {row.name.replace(":", " "): [Circle(places[row.name], row.diameter * 500)] for row in rows}
        circles = ezdxf.read(io.StringIO(dxf.write(layers))).modelspace().query("CIRCLE")
        sides.append([(c.dxf.center.x, c.dxf.center.y) for c in circles])
    gearbox_side, engine_side = sides

    # As they lie in the files they do not fit; turned over about the y axis they fall into one another.
    assert looks_mirrored(engine_side, gearbox_side)
    assert rigid_fit([(-x, y) for x, y in engine_side], gearbox_side).rms < 1e-9


@given(st.floats(-180, 180))
def test_turning_the_gearbox_leaves_its_own_walls(rotation: float) -> None:
    gearbox = [_hole("G1", 50, 0), _hole("G2", 58, 0)]
    found = _solve([_hole("E", 0, 0, 5)], gearbox, rotation=rotation).found

    assert found.smallest_ligament * 1e3 == pytest.approx(-2, abs=1e-9)


def test_limits_pass_and_fail_with_their_margin() -> None:
    answer = _solve([_hole("E", 0, 0)], [_hole("G", 80, 0)], outline=SQUARE, edge=16)
    walls, edge, _opening = answer.checks

    assert (walls.passed, edge.passed) == (True, False)
    assert walls.margin == pytest.approx(70 / 3 - 1)
    assert edge.margin == pytest.approx(15 / 16 - 1)


def test_a_wall_of_the_limit_but_for_what_turning_leaves_holds() -> None:
    # 3 mm between the rims; half a millionth of a millimetre short is nothing that anybody meant.
    found = _solve([_hole("E", 0, 0)], [_hole("G", 13 - 5e-7, 0)], rotation=33.3)
    assert found.checks[0].passed
    assert found.checks[0].margin == 0
    assert not found.found.clashes
    assert not _solve([_hole("E", 0, 0)], [_hole("G", 12.9999, 0)], rotation=33.3).checks[0].passed


def _edge_verdict(at: float, **more: Any) -> str:
    answer = _solve([_hole("E", 0, 0)], [_hole("G", at, 0)], outline=SQUARE, **more)
    (check,) = [check for check in answer.checks if check.name == "Wall to the edge"]
    return check.verdict


@pytest.mark.parametrize(
    ("at", "edge", "verdict"),
    [(60, None, "not known"), (96, None, "fails"), (95.5, 1, "fails"), (90, 5, "holds"), (90.1, 5, "fails")],
)
def test_the_edge_is_judged_by_a_least_wall_and_fails_without_one_where_a_hole_breaks_out(
    at: float, edge: float | None, verdict: str
) -> None:
    # By hand: the edge lies at 100 mm, the hole's radius is 5 mm.
    assert _edge_verdict(at, edge=edge) == verdict


@pytest.mark.parametrize(("head", "verdict"), [(0, "not known"), (10, "not known"), (20, "holds"), (130, "fails")])
def test_a_sunk_head_of_unknown_width_leaves_its_walls_open(head: float, verdict: str) -> None:
    sunk = _hole("E", 0, 0, kind="countersunk", head_diameter=head)
    answer = _solve([sunk], [_hole("G", 60, -40)], outline=SQUARE, edge=5)
    assert answer.checks[0].verdict == verdict
    assert verdict != "not known" or "E-E" in answer.checks[0].detail
    assert {check.name: check for check in answer.checks}["Wall to the edge"].verdict == (
        "not known" if verdict == "not known" else "holds"
    )
    assert _solve([sunk], [_hole("G", 6, 0)]).checks[0].verdict == "fails"


def test_a_least_wall_of_nothing_is_refused() -> None:
    for name in ("ligament", "edge"):
        with pytest.raises(BadInput) as refused:
            _solve([_hole("E", 0, 0)], [_hole("G", 60, 0)], **{name: 0.9})
        assert list(refused.value.errors) == [name]
        _solve([_hole("E", 0, 0)], [_hole("G", 60, 0)], **{name: 1})


def test_without_an_outline_there_is_neither_mass_nor_edge() -> None:
    answer = _solve([_hole("E", 0, 0)], [_hole("G", 80, 0)], edge=5)

    assert answer.found.mass is None
    assert answer.found.smallest_edge is None
    assert any("no outline" in words for words in answer.cautions)
    assert len(answer.checks) == 1
    assert not any("edge" in w for w in _solve([_hole("E", 0, 0)], [_hole("G", 80, 0)]).cautions)


@pytest.mark.parametrize(
    ("change", "at", "words"),
    [
        ({"engine": [_hole("a", 1, 1), _hole("b", 1, 1)]}, "engine", "same hole twice"),
        ({"gearbox": [_hole("a", 1, 1), _hole("b", 1, 1)]}, "gearbox", "same hole twice"),
        ({"gearbox": [_hole("a", 1, 1, 0)]}, "gearbox", "more than 0"),
        ({"gearbox": []}, "gearbox", "at least an entry"),
        ({"gearbox": [_hole(f"a{k}", k, 0) for k in range(201)]}, "gearbox", "200"),
        ({"outline": [(0, 0)]}, "outline", "three corners"),
        ({"outline": [(0, 0), (10, 0)]}, "outline", "three corners"),
        ({"outline": [(0, 0), (10, 10), (10, 0), (0, 4)]}, "outline", "crosses"),
        ({"outline": [(-9, -9), (9, 9), (9, -9), (-9, 9)]}, "outline", "crosses"),
        ({"outline": [(0, 0), (9, 9), (5, 5)]}, "outline", "crosses"),
        ({"outline": [(k, k * k) for k in range(401)]}, "outline", "400"),
    ],
)
def test_a_plate_that_cannot_be_is_refused(change: dict[str, Any], at: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**{"engine": [_hole("E", 0, 50)], "gearbox": [_hole("G", 50, 0)], **change})
    assert words in refused.value.errors[at]


def test_counterbores_on_one_centre_are_two_holes() -> None:
    assert _solve([_hole("E", 0, 50), _hole("E cb", 0, 50, 18)], [_hole("G", 50, 0)]).found.smallest_ligament < 0


def test_a_plate_of_many_holes_is_worked_out_and_drawn() -> None:
    def grid(letter: str, shift: float) -> list[dict[str, Any]]:
        return [_hole(f"{letter}{k}", 12 * (k % 20) + shift, 12 * (k // 20), 4) for k in range(60)]

    corners = [(115 + 200 * math.cos(a / 200 * math.pi), 55 + 200 * math.sin(a / 200 * math.pi)) for a in range(400)]
    answer = _solve(grid("E", 0), grid("G", 6), outline=corners)
    area = 200 * 200 * 200 * math.sin(math.pi / 200) - 120 * math.pi * 4

    assert answer.found.mass == pytest.approx(area * 1e-6 * 0.01 * 2700)
    assert len(PLATE.drawing(answer.given, answer.found).shapes) > 240


def test_the_example_is_worked_out_by_hand() -> None:
    found = solve(PLATE, PLATE.example).found
    # By hand: E1 (0, 160) with its head of 22 mm against G1 (24, 158) of 12.5 mm.
    assert found.smallest_ligament * 1e3 == pytest.approx(math.sqrt(24**2 + 2**2) - 11 - 6.25)
    holes = math.pi / 4 * (80**2 + 3 * 11**2 + 12**2 + 3 * 12.5**2)
    assert found.mass == pytest.approx((380 * 340 - holes) * 20e-9 * 2700)


def test_a_wall_and_a_hole_that_differ_by_rounding_alone_are_equal() -> None:
    answer = _solve([_hole("E", 0, 0)], [_hole("G", 13, 0)])
    wall, given = answer.found.smallest_ligament, answer.given
    at_the_limit = replace(given, ligament=wall + 1e-9)
    assert at_the_limit.ligament - 1e-9 == wall
    assert PLATE.solve(at_the_limit).clashes == ()
    tight = replace(given, engine=(replace(given.engine[0], diameter=8e-3 + 1e-9),))
    (barred,) = [
        check for check in PLATE.checks(tight, PLATE.solve(tight)) if check.name == "Bolts through their holes"
    ]
    assert "E-E: M8 does not pass through" in barred.detail


def test_the_working_holds_with_and_without_an_outline() -> None:
    assert len(assert_every_line_holds(solve(PLATE, PLATE.example))) == 2
    assert len(assert_every_line_holds(_solve([_hole("E", 0, 0)], [_hole("G", 80, 0)], rotation=30))) == 1


def test_the_picture_crosses_what_clashes() -> None:
    answer = _solve(
        [_hole("E", 0, 0), _hole("D", 40, 40, kind="dowel")], [_hole("G", 11, 0, head_diameter=20)], rotation=1
    )
    picture = PLATE.drawing(answer.given, answer.found)
    crossed = [s for s in picture.shapes if isinstance(s, Line) and s.role is Role.CLASH]

    assert len(crossed) == 2 * 2 + 1
    assert "1 wall under 3 mm" in picture.description
    assert {"E-E", "G-G", "E-D"} <= {s.words for s in picture.shapes if isinstance(s, Text)}
    assert not [s for s in picture.shapes if isinstance(s, Polyline)]


def test_the_picture_shows_the_outline_and_every_hole() -> None:
    answer = solve(PLATE, PLATE.example)
    picture = PLATE.drawing(answer.given, answer.found)

    assert len([s for s in picture.shapes if isinstance(s, Circle)]) == 8 + 3
    assert [s.closed for s in picture.shapes if isinstance(s, Polyline)] == [True]
    assert "to the edge" in picture.description


def test_with_an_outline_nothing_is_left_unsaid() -> None:
    holes = [_hole("E", 20, 5)], [_hole("G", 70, -15)]
    assert _solve(*holes, outline=SQUARE, edge=5).cautions == PLATE.cautions
    assert _solve(*holes, outline=SQUARE).cautions == PLATE.cautions
    assert_every_line_holds(_solve(*holes, outline=SQUARE))


WINDOWS = [
    {"window": "starter", "x": -55, "y": 55, "diameter": 40},
    {"window": "exhaust", "x": 40, "y": -90},
    {"window": "exhaust", "x": 80, "y": -60},
]


def test_windows_are_taken_off_the_mass_and_held_against_holes_and_edge() -> None:
    plain = _solve([_hole("E", 0, 0)], [_hole("G", 60, -45)], outline=SQUARE).found
    found = _solve([_hole("E", 0, 0)], [_hole("G", 60, -45)], outline=SQUARE, windows=WINDOWS)
    # By hand: a disc of 40 and a rectangle of 40 × 30, 10 mm thick, 2700 kg/m³; the gearbox's hole ends 10 mm above.
    area = math.pi * 400 + 1200
    assert (plain.mass - found.found.mass) / (2700 * 0.010) * 1e6 == pytest.approx(area)
    assert found.found.smallest_window * 1e3 == pytest.approx(10)
    assert found.found.window_pair in (("exhaust", "gearbox:G"), ("exhaust", "outline"))
    assert [check.name for check in found.checks] == [
        "Wall between holes",
        "Wall beside a window",
        "Wall to the edge",
        "Opening for crank and clutch",
    ]
    assert (
        not _solve([_hole("E", 0, 0)], [_hole("G", 60, -53)], outline=SQUARE, windows=WINDOWS, ligament=3)
        .checks[1]
        .passed
    )


def test_without_an_outline_windows_are_held_against_holes_and_one_another() -> None:
    found = _solve([_hole("E", 0, 0)], [_hole("G", 60, -45)], windows=WINDOWS).found
    # By hand: from the hole G's rim, 5 mm off its centre at y = -45, to the exhaust's upper edge at y = -60.
    assert found.smallest_window * 1e3 == pytest.approx(10)
    assert found.window_pair == ("exhaust", "gearbox:G")
    near = {"window": "sensor", "x": 60, "y": -58, "diameter": 2}
    assert _solve([_hole("E", 0, 0)], [_hole("G", 60, 45)], windows=[*WINDOWS, near]).found.window_pair == (
        "exhaust",
        "sensor",
    )


def test_the_picture_shows_each_window_by_name_where_it_is() -> None:
    answer = _solve([_hole("E", 0, 0)], [_hole("G", 60, -45)], outline=SQUARE, windows=WINDOWS)
    picture = PLATE.drawing(answer.given, answer.found)
    words = {shape.words: shape.place for shape in picture.shapes if isinstance(shape, Text)}
    lines = [shape.points for shape in picture.shapes if isinstance(shape, Polyline)]
    scale = (max(x for x, _ in lines[0]) - min(x for x, _ in lines[0])) / 200
    assert words["starter"] == pytest.approx((-55 * scale, 55 * scale))
    assert words["exhaust"] == pytest.approx((60 * scale, -75 * scale))
    assert [max(y for _, y in line) for line in lines[1:]] == pytest.approx([-60 * scale])
    assert [c for c in picture.shapes if isinstance(c, Circle) and c.radius == pytest.approx(20 * scale)]


def test_a_hole_on_the_crankshafts_axis_raises_doubt_of_the_datum() -> None:
    moved = _solve([_hole("E", 20, 5)], [_hole("G", 70, -15)])
    assert not any("on the datum" in words for words in moved.cautions)
    for x, doubt in ((4, True), (5, False), (8, False)):  # ⌀10: does the axis lie within the hole?
        beside = _solve([_hole("E", 20, 5)], [_hole("G", x, 0)])
        assert any("G-G lies on the datum" in words for words in beside.cautions) is doubt
    from_a_dowel = _solve([_hole("E", 20, 5)], [_hole("G", 0, 0)])
    assert any("G-G lies on the datum" in words for words in from_a_dowel.cautions)


def test_a_hole_over_the_outline_is_said_also_where_no_wall_to_the_edge_was_asked_for() -> None:
    answer = _solve([_hole("E", 0, 0)], [_hole("G", 98, 0)], outline=SQUARE)
    assert answer.found.smallest_edge * 1e3 == pytest.approx(-3)
    assert any("reaches over the outline by 3 mm" in words for words in answer.cautions)


def test_the_outline_is_moved_out_and_turns_with_the_gearbox_where_it_is_the_gearboxs() -> None:
    holes = [_hole("E", 0, 0)], [_hole("G", 50, 0)]
    wider = _solve(*holes, outline=SQUARE, outline_offset=10, edge=1).found
    assert wider.smallest_edge * 1e3 == pytest.approx(110 - 55)
    assert wider.mass + 2 * math.pi * 25e-6 * 27 == pytest.approx(0.220**2 * 27)
    # A square turned by 45° with its gearbox: from its middle the edge stays as far, the hole at 50 mm comes no nearer.
    turned = _solve(*holes, outline=SQUARE, outline_side="gearbox", rotation=45).found
    assert turned.smallest_edge * 1e3 == pytest.approx(100 - 55)
    straight = _solve(*holes, outline=SQUARE, rotation=45).found
    assert straight.smallest_edge * 1e3 == pytest.approx(100 - 50 * math.cos(math.pi / 4) - 5)


@pytest.mark.parametrize(
    ("changes", "at", "words"),
    [
        ({"windows": [{"x": 0, "y": -110}, {"x": 20, "y": 110}]}, "windows", "would cut the plate in two"),
        ({"windows": [*WINDOWS, {"window": "b", "x": -50, "y": 50, "diameter": 9}]}, "windows", "overlap"),
        ({"windows": [{"x": 5, "y": 0}]}, "windows", "is one point"),
        ({"windows": [{"window": f"w{k}", "x": k, "y": 0, "diameter": 1} for k in range(501)]}, "windows", "501 rows"),
        ({"outline_offset": -150}, "outline_offset", "cannot be moved inwards so far"),
    ],
)
def test_windows_and_outlines_that_cannot_be_cut_are_refused(changes: dict[str, Any], at: str, words: str) -> None:
    with pytest.raises(BadInput) as bad:
        _solve([_hole("E", 0, 0)], [_hole("G", 50, 0)], outline=SQUARE, **changes)
    assert words in bad.value.errors[at]


def test_a_window_over_the_edge_cuts_the_outline() -> None:
    # By hand: half a disc of radius 30 out of a square's edge, 10 mm thick; its chords lose under 0.1 % of it.
    nose = {"window": "starter", "x": 100, "y": 0, "diameter": 60}
    holes = [_hole("E", 0, 0)], [_hole("G", 50, 60)]
    plain, found = (_solve(*holes, outline=SQUARE, **more) for more in ({}, {"windows": [nose]}))
    cut = (plain.found.mass - found.found.mass) / (2700 * 0.010) * 1e6
    assert cut == pytest.approx(math.pi * 900 / 2, rel=1e-3)
    assert found.found.smallest_window is None
    near = _solve([_hole("E", 0, 0)], [_hole("G", 60, 0)], outline=SQUARE, windows=[nose], edge=6)
    assert near.found.smallest_edge * 1e3 == pytest.approx(100 - 30 - 60 - 5, abs=0.01)


@pytest.mark.parametrize("kind", ["clearance", "countersunk"])
def test_a_hole_of_which_nobody_says_the_bolt_fails(kind: str) -> None:
    answer = _solve([_hole("E", 0, 0, kind=kind, bolt="", head_diameter=18)], [_hole("G", 50, 0)])
    (failed,) = [check for check in answer.checks if not check.passed]
    assert (failed.name, failed.detail) == ("bolt not named", "which bolt goes through E-E?")


def test_neither_dowels_nor_threads_nor_the_opening_are_asked_for_a_bolt() -> None:
    holes = [_hole("bore", 0, 0, 80, bolt=""), _hole("D", 60, 0, kind="dowel", bolt="")]
    assert all(check.passed for check in _solve(holes, [_hole("G", 90, 0, kind="tapped", bolt="")]).checks)


@pytest.mark.parametrize(
    ("more", "passes"),
    [
        ({}, False),
        ({"windows": [{"x": 60, "y": 60, "diameter": 20}]}, False),
        ({"windows": [{"x": 0, "y": 0, "diameter": 60}]}, True),
        ({"windows": [{"x": 30, "y": 0, "diameter": 60}]}, False),
        ({"windows": [{"x": -40, "y": -40}, {"x": 40, "y": 40}]}, True),
    ],
)
def test_a_plate_without_an_opening_over_crank_and_clutch_fails(more: dict[str, Any], passes: bool) -> None:
    answer = _solve([_hole("E", 80, 0)], [_hole("G", 0, 85)], outline=SQUARE, **more)
    assert answer.checks[-1].name == "Opening for crank and clutch"
    assert answer.checks[-1].passed is passes
    assert answer.checks[-1].detail.startswith("over the crankshaft axis" if passes else "none over")


def test_a_bolt_that_is_no_thread_or_does_not_pass_its_hole_fails() -> None:
    def verdicts(bolt: str, diameter: float) -> dict[str, bool | None]:
        example = calculations()["plate-layout"].example
        first, *others = example["gearbox"]
        hole = {**first, "kind": "clearance", "head_diameter": 0, "diameter": diameter, "bolt": bolt}
        answer = solve(calculations()["plate-layout"], {**example, "gearbox": [hole, *others]})
        return {check.name: check.passed for check in answer.checks}

    for bolt, diameter in (("M12", 12), ("M14", 12.5), ("M13", 14), ("stud", 14)):
        assert verdicts(bolt, diameter)["Bolts through their holes"] is False
    assert "Bolts through their holes" not in verdicts("M12", 12.001)
    assert "Bolts through their holes" not in verdicts("M12", 13.5)
