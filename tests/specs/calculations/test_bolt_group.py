"""Bolt group."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Line, Role
from specs.engine import working
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

GROUP = calculations()["bolt-group"]


def _bolt(name: str, x: float, y: float, preload: float = 40000, **more: float) -> dict[str, Any]:
    return {"name": name, "x": x, "y": y, "preload": preload, **more}


def _dowel(name: str, x: float, y: float, diameter: float = 12, shear_strength: float = 400) -> dict[str, Any]:
    return {"name": name, "x": x, "y": y, "diameter": diameter, "shear_strength": shear_strength}


SQUARE = [_bolt("A", 75, -60), _bolt("B", 75, 60), _bolt("C", -75, 60), _bolt("D", -75, -60)]
GEARBOX = {"overhang_mass": 60, "overhang": 400}
TWO_DOWELS = [_dowel("D1", -165, 40), _dowel("D2", 165, 55)]


def _circle(count: int, radius: float, preload: float = 40000) -> list[dict[str, Any]]:
    angles = [2 * math.pi * at / count for at in range(count)]
    return [
        _bolt(f"B{at}", radius * math.cos(angle), radius * math.sin(angle), preload)
        for at, angle in enumerate(angles, start=1)
    ]


def _solve(**changes: Any) -> Answer:
    return solve(GROUP, {"bolts": SQUARE, "torque": 500, "mu": 0.15, **changes})


def test_the_textbook_bracket() -> None:
    # Shigley, Mechanical Engineering Design (9th ed.), example 8-7 (read in a public copy): bolts at (±75, ±60) mm,
    # 16 kN and 6800 N·m; A and B carry 21.0 kN, C and D 14.8 kN.
    answer = _solve(torque=-6800, force_y=-16000)
    assert answer.found.peak_shear / 1000 == pytest.approx(21.0, abs=0.05)
    assert answer.found.peak_bolt == "A"
    picture = GROUP.drawing(answer.given, answer.found)
    words = [shape.words for shape in picture.shapes if hasattr(shape, "words")]
    assert sorted(word for word in words if word[0] in "ABCD") == ["A 21000 N", "B 21000 N", "C 14800 N", "D 14800 N"]


@given(st.integers(2, 12), st.floats(40, 300), st.floats(1000, 90000), st.floats(-3000, 3000))
def test_a_circle_of_equal_bolts_carries_what_the_hand_formula_says(
    count: int, radius: float, preload: float, torque: float
) -> None:
    # Handbook formula of a bolted flange: n·μ·F·r in friction, T/(n·r) in shear.
    if abs(torque) < 1:
        return
    found = _solve(bolts=_circle(count, radius, preload), torque=torque).found
    friction = count * 0.15 * preload * radius / 1000
    assert found.friction_torque == pytest.approx(friction)
    assert found.slip_margin == pytest.approx(friction / abs(torque) - 1)
    assert found.peak_shear == pytest.approx(abs(torque) / (count * radius / 1000))
    assert found.peak_bolt == "B1"
    assert (found.centroid_x, found.centroid_y) == pytest.approx((0, 0), abs=1e-12)
    assert found.capacity_lost == pytest.approx(0, abs=1e-12)


def test_one_bolt_of_many_left_out_costs_about_its_share() -> None:
    found = _solve(bolts=_circle(8, 150), omit=["B3"]).found
    assert 1 / 8 <= found.capacity_lost < 1 / 8 + 0.02
    assert found.centroid_y == pytest.approx(-0.15 / 7)


@given(st.floats(-400, 400), st.floats(-400, 400), st.floats(-3000, 3000), st.floats(-9000, 9000))
def test_moving_the_origin_with_its_loads_changes_nothing_but_the_middle(
    dx: float, dy: float, torque: float, force: float
) -> None:
    if abs(torque) + abs(force) < 1:
        return
    here = _solve(torque=torque, force_x=force, force_y=-force / 2).found
    moved = [{**bolt, "x": bolt["x"] + dx, "y": bolt["y"] + dy} for bolt in SQUARE]
    carried = torque + (dx * -force / 2 - dy * force) / 1000
    there = _solve(bolts=moved, torque=carried, force_x=force, force_y=-force / 2).found
    assert there.centroid_x == pytest.approx(here.centroid_x + dx / 1000, abs=1e-9)
    assert there.friction_torque == pytest.approx(here.friction_torque)
    assert there.slip_margin == pytest.approx(here.slip_margin, rel=1e-5)
    assert there.peak_shear == pytest.approx(here.peak_shear, rel=1e-5, abs=1e-6)


@pytest.mark.parametrize(
    ("bolts", "loads", "margin", "tolerance"),
    # The group's own check values, worked out elsewhere by linear programme (independent computation).
    [
        ([(-100, 0, 60), (100, 0, 6)], {"torque": 500}, -0.64, 1e-9),
        (
            [(130, 120, 60), (-130, 120, 60), (150, -60, 17), (-150, -60, 17), (0, -150, 17)],
            {"torque": 3000},
            0.3597,
            5e-4,
        ),
        (
            [(150 * math.cos(at * math.pi / 3), 150 * math.sin(at * math.pi / 3), 30) for at in range(6)],
            {"torque": 3000, "force_y": 5000},
            0.275,
            5e-4,
        ),
    ],
)
def test_it_slips_about_the_centre_that_resists_least(
    bolts: list[tuple[float, float, float]], loads: dict[str, float], margin: float, tolerance: float
) -> None:
    rows = [_bolt(f"B{at}", x, y, 1000 * preload) for at, (x, y, preload) in enumerate(bolts)]
    answer = _solve(bolts=rows, **{"torque": 0, **loads})
    assert answer.found.slip_margin == pytest.approx(margin, abs=tolerance)
    assert answer.checks[0].passed == (margin > 0)
    assert_every_line_holds(answer)


def test_a_strong_bolt_among_weak_ones_does_not_lend_them_its_friction() -> None:
    # By hand: it turns about the tight bolt, so only the loose one resists: 0.15 · 6 kN · 0.2 m = 180 N·m.
    pair = [_bolt("A", -100, 0, 60000), _bolt("B", 100, 0, 6000)]
    found = _solve(bolts=pair).found
    assert found.friction_torque == pytest.approx(180)
    three = _solve(bolts=[*pair, _bolt("C", 0, 400, 30000)], omit=["C"]).found
    assert three.capacity_lost == pytest.approx(1 - 180 / three.friction_torque * (1 - three.capacity_lost))


def test_an_overhang_takes_clamp_from_the_upper_bolts() -> None:
    # By hand: 3 g · 60 kg · 0.4 m = 706.1 N·m on four bolts 60 mm above and below the middle: 706.1/(4 · 0.06) each.
    loss = 3 * 60 * 9.80665 * 0.4 / (4 * 0.06)
    answer = _solve(**GEARBOX)
    assert answer.found.opening_share == pytest.approx(loss / 40000)
    assert answer.found.opening_bolt == "B"
    assert {check.name: check.passed for check in answer.checks} == {"Slip": True, "Joint stays closed": True}
    assert_every_line_holds(answer)
    left = [_bolt("A", 75, -60), _bolt("B", 75, 60, 40000 - loss), _bolt("C", -75, 60, 40000 - loss), SQUARE[3]]
    weight = 3 * 60 * 9.80665
    alone = [_solve(bolts=left, force_y=way * weight).found.slip_margin for way in (-1, 1)]
    assert answer.found.slip_margin == pytest.approx(min(alone))


def test_bolts_of_more_area_take_more_of_the_overhang() -> None:
    # By hand: areas 3, 1, 1, 1, middle at y = (−3·60 + 60 + 60 − 60)/6 = −20: Σ A y² = 3·40² + 80² + 80² + 40².
    wide = [{**bolt, "area": 3 if bolt["name"] == "A" else 1} for bolt in SQUARE]
    found = _solve(bolts=wide, **GEARBOX).found
    moment = 3 * 60 * 9.80665 * 0.4
    assert found.opening_share == pytest.approx(moment * 0.08 / (3 * 0.04**2 + 2 * 0.08**2 + 0.04**2) / 40000)


@pytest.mark.parametrize(("mass", "closed"), [(2000, False), (600, True)])
def test_a_joint_that_opens_fails_whatever_the_friction(mass: float, closed: bool) -> None:
    # By hand: clamp 40 kN is gone at 3 g · m · 0.4 m = 4 · 0.06 m · 40 kN: 815.8 kg.
    answer = _solve(overhang_mass=mass, overhang=400, torque=1)
    (opens,) = (check for check in answer.checks if check.name == "Joint stays closed")
    assert opens.passed is closed
    assert ("opens at bolt B" in " ".join(answer.cautions)) != closed


def test_a_bolt_that_is_just_relieved_has_opened() -> None:
    moment = 4 * 0.06 * 40000
    answer = _solve(overhang_mass=moment / (2 * 9.80665 * 0.4), overhang=400, load_factor=2)
    assert answer.found.opening_share == pytest.approx(1, abs=1e-12)
    opening = {check.name: check for check in answer.checks}["Joint stays closed"]
    assert opening.passed is False
    assert opening.margin == pytest.approx(0, abs=1e-6)
    assert "opens at bolt B" in " ".join(answer.cautions)
    nearly = _solve(overhang_mass=0.99 * moment / (2 * 9.80665 * 0.4), overhang=400, load_factor=2, torque=0.01)
    assert {check.name: check.passed for check in nearly.checks}["Joint stays closed"]
    assert "opens at bolt" not in " ".join(nearly.cautions)


def test_all_clamp_lost_is_no_friction_at_all() -> None:
    # Two bolts one above the other: the upper one lets go, the lower one alone carries no torque.
    answer = _solve(bolts=[_bolt("A", 0, 50, 100), _bolt("B", 0, 60, 100)], overhang_mass=900, overhang=400)
    slip, opening = answer.checks
    assert slip.passed is False
    assert opening.passed is False
    assert answer.found.slip_margin < 0


def test_the_force_that_hangs_acts_the_way_that_slips_sooner() -> None:
    lopsided = [_bolt("A", 75, -60, 9000), *SQUARE[1:]]
    for torque in (500, -500):
        answer = _solve(bolts=lopsided, torque=torque, overhang_mass=20, overhang=0.001)
        weight = 3 * 20 * 9.80665
        ways = [_solve(bolts=lopsided, torque=torque, force_y=way * weight).found for way in (-1, 1)]
        assert answer.found.slip_margin == pytest.approx(min(way.slip_margin for way in ways), rel=1e-6)
        assert answer.found.peak_shear in [pytest.approx(way.peak_shear, rel=1e-9) for way in ways]
        assert_every_line_holds(answer)


def test_a_weight_that_lifts_just_what_hangs_slips_the_other_way() -> None:
    weight = 3 * 60 * 9.80665
    found = _solve(torque=0, force_y=weight, **GEARBOX).found
    assert found.slip_margin < _solve(torque=0, force_y=weight).found.slip_margin
    assert _solve(torque=0, **GEARBOX).found.slip_margin > 0


def test_the_area_is_that_of_the_thread() -> None:
    # ISO 898-1 prints 58.0 mm² for M10 and 36.6 mm² for M8.
    threaded = [{**bolt, "thread": "M8" if bolt["name"] == "A" else "M10"} for bolt in SQUARE]
    sized = [{**bolt, "area": 36.609 if bolt["name"] == "A" else 57.99} for bolt in SQUARE]
    assert _solve(bolts=threaded).found.centroid_x == pytest.approx(_solve(bolts=sized).found.centroid_x, rel=1e-3)
    both = [{**bolt, "thread": "M8", "area": 5} for bolt in SQUARE]
    assert _solve(bolts=both).found.peak_shear == pytest.approx(_solve().found.peak_shear)


def test_a_dowel_presses_on_the_softer_part_as_its_share_of_the_torque_says() -> None:
    # By hand: the couple of two dowels 330 mm apart in x and 15 in y, on 12 mm × 10 mm.
    pressed = [{**dowel, "length": 10, "bearing_strength": 240} for dowel in TWO_DOWELS]
    answer = _solve(torque=450, dowels=pressed)
    force = 450 / (math.hypot(330, 15) / 1000)
    assert answer.found.dowel_bearing == pytest.approx(force / (0.012 * 0.010))
    checks = {check.name: check for check in answer.checks}
    assert checks["Dowel bearing"].passed
    assert checks["Dowel bearing"].margin == pytest.approx(240e6 / (force / 0.00012) - 1)
    assert_every_line_holds(answer)
    just = [{**dowel, "bearing_strength": answer.found.dowel_bearing / 1e6} for dowel in pressed]
    assert {check.name: check.passed for check in _solve(torque=450, dowels=just).checks}["Dowel bearing"]
    short = [pressed[0], {**pressed[1], "length": 0.4}]
    checks = {check.name: check for check in _solve(torque=450, dowels=short).checks}
    assert checks["Dowel bearing"].passed is False
    assert "dowel D2" in checks["Dowel bearing"].detail


@pytest.mark.parametrize("lacking", ["length", "bearing_strength"])
def test_without_its_length_or_what_the_part_stands_bearing_is_not_known(lacking: str) -> None:
    full = {"length": 10, "bearing_strength": 240}
    half = [{**TWO_DOWELS[0], **full}, {**TWO_DOWELS[1], **{k: v for k, v in full.items() if k != lacking}}]
    bearing = {check.name: check for check in _solve(torque=450, dowels=half).checks}["Dowel bearing"]
    assert bearing.passed is None
    pressure = _solve(torque=450, dowels=half).found.dowel_bearing / 1e6
    for share, verdict in ((0.99, False), (1, None), (1.01, None)):
        weak = [{**half[0], "bearing_strength": share * pressure}, half[1]]
        bearing = {check.name: check for check in _solve(torque=450, dowels=weak).checks}["Dowel bearing"]
        assert bearing.passed is verdict


def test_the_dowel_that_presses_hardest_for_its_part_is_judged() -> None:
    pressed = [
        {**TWO_DOWELS[0], "length": 5, "bearing_strength": 900},
        {**TWO_DOWELS[1], "length": 10, "bearing_strength": 100},
    ]
    bearing = {check.name: check for check in _solve(torque=450, dowels=pressed).checks}["Dowel bearing"]
    assert "dowel D2" in bearing.detail


def test_slip_is_said_from_no_margin_on() -> None:
    limit = _solve().found.friction_torque
    for share, said in ((1.001, True), (0.999, False)):
        assert ("faces slip" in " ".join(_solve(torque=limit * share).cautions)) is said
    nothing = _solve(bolts=[_bolt("A", 0, 50, 100), _bolt("B", 0, 60, 100)], overhang_mass=9e5, overhang=400)
    assert nothing.checks[0].passed is False


def test_friction_that_nobody_gave_gives_figures_and_no_verdict_on_slip() -> None:
    told, asked = _solve(), _solve(mu=None)
    assert asked.found == told.found
    assert [check.verdict for check in told.checks] == ["holds"]
    assert [check.verdict for check in asked.checks] == ["not known"]
    assert "not given" in asked.cautions[0]
    assert not any("was not given" in words for words in told.cautions)
    assert any("mu" in step.values for step in GROUP.working(asked.given, asked.found))


@pytest.mark.parametrize(("mu", "verdict"), [(0.5, "holds"), (0.51, "not known")])
def test_more_friction_than_blasted_steel_has_is_not_believed(mu: float, verdict: str) -> None:
    # EN 1993-1-8, table 3.7: slip factor 0.5 for the roughest class of faces (from memory).
    assert [check.verdict for check in _solve(mu=mu).checks] == [verdict]
    assert [check.verdict for check in _solve(mu=mu, torque=90_000).checks] == ["fails"]


@pytest.mark.parametrize(("apart", "refused"), [(2.5e-3, False), (1.5e-3, True)])
def test_what_hangs_needs_bolts_above_one_another(apart: float, refused: bool) -> None:
    # Heights of ± half of it have that half for their root mean square: a micrometre is level.
    bolts = [_bolt("A", -100, apart / 2), _bolt("B", 100, -apart / 2)]
    if not refused:
        assert _solve(bolts=bolts, **GEARBOX).found.opening_share > 1
        return
    with pytest.raises(BadInput) as told:
        _solve(bolts=bolts, **GEARBOX)
    assert list(told.value.errors) == ["overhang"]


def test_the_revision_is_raised_with_the_method() -> None:
    assert GROUP.revision == 4


@pytest.mark.parametrize(("factor", "verdict"), [(1.5, "holds"), (1.49, "not known")])
def test_a_gearbox_that_hangs_on_a_smooth_road_alone_is_not_said_to_hold(factor: float, verdict: str) -> None:
    hung = {"overhang_mass": 6, "overhang": 40, "load_factor": factor}
    assert {check.verdict for check in _solve(**hung).checks} == {verdict}
    assert {check.verdict for check in _solve(**hung | {"overhang_mass": 1e6}).checks} == {"fails"}
    assert _solve(load_factor=1).checks[0].verdict == "holds", "nothing hangs on it"


def test_only_the_shares_of_area_count() -> None:
    small = [{**bolt, "area": 58} for bolt in SQUARE]
    assert _solve(bolts=small).found.peak_shear == pytest.approx(_solve().found.peak_shear)
    heavy = [{**bolt, "area": 3 if bolt["name"] == "A" else 1} for bolt in SQUARE]
    assert _solve(bolts=heavy).found.peak_bolt == "A"
    bare = [{**bolt, "area": 3} if bolt["name"] == "A" else bolt for bolt in SQUARE]
    assert _solve(bolts=bare).found.peak_shear == pytest.approx(_solve(bolts=heavy).found.peak_shear)


def test_two_equal_dowels_share_the_torque_as_a_couple() -> None:
    # Statics: T over the distance between them, on each one's area.
    found = _solve(torque=450, dowels=TWO_DOWELS).found
    apart = math.hypot(330, 15) / 1000
    assert found.dowel_shear_stress == pytest.approx(450 / apart / (math.pi / 4 * 0.012**2))
    assert _solve().found.dowel_shear_stress is None


def test_the_dowel_nearest_to_its_strength_is_checked() -> None:
    weak = [_dowel("D1", -100, 0, 12, 20), _dowel("D2", 100, 0, 12, 400)]
    checks = {check.name: check for check in _solve(torque=600, dowels=weak).checks}
    assert "dowel D1" in checks["Dowel shear"].detail
    assert not checks["Dowel shear"].passed
    assert checks["Slip"].passed


@given(st.floats(0.2, 5))
def test_the_slip_check_turns_where_friction_is_used_up(share: float) -> None:
    limit = _solve().found.friction_torque
    answer = _solve(torque=limit * share)
    (slip,) = answer.checks
    assert slip.margin == pytest.approx(1 / share - 1, abs=1e-9)
    assert answer.found.slip_margin == pytest.approx(1 / share - 1, abs=1e-9)
    if abs(share - 1) > 1e-6:
        assert slip.passed == (share < 1)
        assert ("faces slip" in " ".join(answer.cautions)) == (share > 1)


def test_cautions_name_the_bolts_left_out_and_what_dowels_do_not_carry() -> None:
    left_out = " ".join(_solve(omit=["C"]).cautions)
    assert "Left out: C" in left_out
    assert "side force is left to friction" in " ".join(_solve(dowels=TWO_DOWELS, force_y=100).cautions)
    usual = " ".join(_solve(dowels=TWO_DOWELS).cautions)
    assert "Left out" not in usual
    assert "side force is left" not in usual


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"torque": 0}, "torque", "There is no load"),
        ({"bolts": SQUARE[:1]}, "bolts", "Two bolts or more"),
        ({"bolts": []}, "bolts", "at least an entry"),
        ({"bolts": [*SQUARE, _bolt("E", 75, 60)]}, "bolts", "B and E stand in one place"),
        ({"bolts": [*SQUARE, _bolt("A", 0, 0)]}, "bolts", "used twice"),
        ({"dowels": TWO_DOWELS[:1]}, "dowels", "One dowel alone"),
        ({"dowels": [TWO_DOWELS[0], _dowel("D3", -165, 40)]}, "dowels", "D1 and D3 stand in one place"),
        ({"omit": ["Z"]}, "omit", "“Z” is not one of the bolts: A, B, C, D"),
        ({"omit": ["A", "B", "C"]}, "omit", "fewer than two bolts"),
        ({"mu": 0}, "mu", "more than 0"),
        ({"overhang": 400}, "overhang_mass", "give both, or neither"),
        ({"overhang_mass": 60}, "overhang", "give both, or neither"),
        ({"bolts": [_bolt("A", 50, 9), _bolt("B", -50, 9)], **GEARBOX}, "overhang", "stand level"),
        ({"bolts": [{**SQUARE[0], "thread": "M13"}, *SQUARE[1:]]}, "bolts", "A: M13 is not an ISO 261 size"),
        ({"bolts": [{**SQUARE[0], "thread": "M8"}, *SQUARE[1:]]}, "bolts", "B has neither thread nor area"),
    ],
)
def test_what_is_no_joint_is_refused_at_its_field(changes: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**changes)
    assert list(refused.value.errors) == [field]
    assert words in refused.value.errors[field]


@pytest.mark.parametrize(
    "changes",
    [{}, {"dowels": TWO_DOWELS, "omit": ["B"]}, {"torque": 0, "force_x": 500}, {"torque": -300, "force_y": -900}],
)
def test_every_line_of_the_working_adds_up_and_the_picture_names_all(changes: dict[str, Any]) -> None:
    answer = _solve(**changes)
    values = working.symbol_values(GROUP, answer.given, answer.found)
    for step in GROUP.working(answer.given, answer.found):
        left = step.formula.partition("=")[0].strip()
        assert working.value_of(step, values) == pytest.approx({**values, **step.values}[left][0], rel=1e-9, abs=1e-12)
    picture = GROUP.drawing(answer.given, answer.found)
    words = " ".join(shape.words for shape in picture.shapes if hasattr(shape, "words"))
    assert all(name in words for name in ("A", "B", "C", "D", "middle"))
    assert ("B left out" in words) == bool(answer.given.omit)
    assert ("dowel D2" in words) == bool(answer.given.dowels)
    assert ("counter-clockwise" in words) == (answer.given.torque > 0)
    assert ("force" in words) == bool(answer.given.force_x or answer.given.force_y)


def test_the_picture_lays_the_loads_and_the_middle_where_they_act() -> None:
    shifted = [{**bolt, "x": bolt["x"] + 25} for bolt in SQUARE]
    answer = _solve(bolts=shifted, torque=900, force_x=-300, force_y=400)
    shapes = GROUP.drawing(answer.given, answer.found).shapes
    words = {shape.words: shape.place for shape in shapes if hasattr(shape, "words")}
    # The bolts reach to 100 mm: half size.
    assert words["middle"] == pytest.approx((25 / 2, -10))
    assert words["torque 900 N·m counter-clockwise"] == pytest.approx((0, -81))
    assert "force 500 N" in words
    (force,) = (shape for shape in shapes if isinstance(shape, Line) and shape.role == Role.LIMIT)
    assert (force.start, force.end) == ((0, 0), pytest.approx((-15, 20)))
    cross = [shape for shape in shapes if getattr(shape, "role", None) == "centre"]
    assert [(line.start, line.end) for line in cross] == [
        (pytest.approx((7.5, 0)), pytest.approx((17.5, 0))),
        (pytest.approx((12.5, -5)), pytest.approx((12.5, 5))),
    ]
    bolts = [shape.centre for shape in shapes if getattr(shape, "fill", None) == "metal"]
    assert bolts == [pytest.approx(at) for at in ((50, -30), (50, 30), (-25, 30), (-25, -30))]


def test_two_bolts_are_enough_and_two_may_be_left() -> None:
    two = [_bolt("A", 50, 0), _bolt("B", -50, 0)]
    assert _solve(bolts=two).found.friction_torque == pytest.approx(2 * 0.15 * 40000 * 0.05)
    assert _solve(omit=["A", "B"]).found.friction_torque == pytest.approx(2 * 0.15 * 40000 * 0.06)


def test_the_working_carries_a_load_beside_the_middle() -> None:
    shifted = [{**bolt, "x": bolt["x"] + 20, "y": bolt["y"] - 35} for bolt in SQUARE]
    assert_every_line_holds(_solve(bolts=shifted, force_x=1500, force_y=-2300))


def test_of_equal_bolts_the_first_is_named() -> None:
    assert _solve().found.peak_bolt == "A"


def test_two_bolts_are_enough_from_the_start_or_left() -> None:
    # Statics: a couple of two equal forces, T over the distance between them.
    pair = [_bolt("A", -100, 0), _bolt("B", 100, 0)]
    assert _solve(bolts=pair).found.peak_shear == pytest.approx(500 / 0.2)
    assert _solve(bolts=[*pair, _bolt("C", 0, 90)], omit=["C"]).found.peak_shear == pytest.approx(500 / 0.2)


def test_the_dowel_farthest_from_their_middle_bears_most() -> None:
    # By hand: dowels at −100, 0 and 130 mm, middle at 10: radii 110, 10 and 120; τ = T r/(A Σr²).
    row = [_dowel("D1", -100, 0), _dowel("D2", 0, 0), _dowel("D3", 130, 0)]
    answer = _solve(torque=450, dowels=row)
    area = math.pi / 4 * 0.012**2
    assert answer.found.dowel_shear_stress == pytest.approx(450 * 0.120 / (area * (0.110**2 + 0.010**2 + 0.120**2)))
    values = working.symbol_values(GROUP, answer.given, answer.found)
    (line,) = (step for step in GROUP.working(answer.given, answer.found) if step.formula.startswith("tau_d"))
    assert working.value_of(line, values) == pytest.approx(answer.found.dowel_shear_stress)


def test_bolts_a_micrometre_apart_are_one_and_two_micrometres_apart_are_two() -> None:
    with pytest.raises(BadInput, match="stand in one place"):
        _solve(bolts=[*SQUARE, _bolt("E", 75, 60.0009)])
    assert _solve(bolts=[*SQUARE, _bolt("E", 75, 60.002)]).found.peak_shear > 0


@pytest.mark.parametrize(("torque", "words"), [(0.5, "torque 0.5 N·m counter-clockwise"), (-0.5, "0.5 N·m clockwise")])
def test_the_picture_says_which_way_the_torque_turns(torque: float, words: str) -> None:
    raised = [{**bolt, "y": bolt["y"] + 40} for bolt in SQUARE]
    answer = _solve(bolts=raised, torque=torque)
    shapes = GROUP.drawing(answer.given, answer.found).shapes
    assert any(words in getattr(shape, "words", "") for shape in shapes)
    # The bolts reach to 100 mm: half size; their middle lies 40 mm up.
    (middle,) = (shape for shape in shapes if getattr(shape, "words", "") == "middle")
    assert middle.place == pytest.approx((0, 10))
    cross = [shape for shape in shapes if getattr(shape, "role", None) == "centre"]
    assert cross[0].start == pytest.approx((-5, 20))


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"omit": []},
        {"dowels": []},
        {"force_y": 700},
        {"overhang_mass": 60, "overhang": 300},
        {"omit": ["B1", "B5"]},
    ],
)
def test_many_readings_of_a_joint_are_worked_out_as_each_alone(changes: dict[str, Any]) -> None:
    from specs.engine.fields import shifted

    given = solve(GROUP, {**GROUP.example, **changes}).given
    givens = [given, shifted(given, "bolts.0.preload", -4000.0), shifted(given, "bolts.2.x", 0.011)]
    assert GROUP.solve_all
    (single,) = GROUP.solve_all([given])
    assert single is not None
    assert single.friction_torque == pytest.approx(GROUP.solve(given).friction_torque)
    for one, found in zip(givens, GROUP.solve_all(givens), strict=True):
        alone = GROUP.solve(one)
        for name, value in vars(alone).items():
            assert getattr(found, name) == (
                pytest.approx(value, rel=1e-7, abs=1e-9) if isinstance(value, float) else value
            )
