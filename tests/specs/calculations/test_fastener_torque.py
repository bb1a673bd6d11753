"""Bolt preload and torque."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, optimize

from specs.engine import working
from specs.engine.answer import Answer, solve
from specs.engine.entry import BadInput
from specs.engine.registry import calculations
from specs.standards import classes, threads

TORQUE = calculations()["fastener-torque"]
COARSE = tuple(
    thread.designation
    for thread in threads.metric()
    if thread.series == "metric coarse" and thread.size not in {"M4.5", "M7", "M9", "M11"}
)


def _solve(thread: str = "M10", grade: str = "8.8", **changes: Any) -> Answer:
    return solve(TORQUE, {"thread": thread, "grade": grade, **changes})


@pytest.mark.parametrize(
    ("thread", "grade", "mu", "preload_kn", "torque"),
    # VDI 2230 part 1 (2003), table A1: shank bolts, 90 % of Rp0.2, hexagon head ISO 4014; from memory.
    [
        ("M6", "8.8", 0.12, 10.2, 10.1),
        ("M12", "10.9", 0.12, 63.3, 123),
        ("M16", "10.9", 0.14, 115.7, 338),
        ("M20", "8.8", 0.12, 130, 415),
        ("M24", "8.8", 0.12, 188, 714),
    ],
)
def test_preload_and_torque_are_those_that_vdi_2230_prints(
    thread: str, grade: str, mu: float, preload_kn: float, torque: float
) -> None:
    found = _solve(thread, grade, mu_thread=mu, mu_head=mu).found
    assert found.preload / 1000 == pytest.approx(preload_kn, rel=0.004)
    assert found.torque == pytest.approx(torque, rel=0.006)


def test_the_textbook_inch_bolt() -> None:
    # Shigley's Mechanical Engineering Design (9th ed.), example 8-3, from memory: 3/4-16 UNF SAE 5, preload 25 kip,
    # friction 0.15 in thread and under the head, head friction at 1.25 d: 3551 lbf·in by the screw formula, which
    # keeps the product of lead and friction that VDI 2230 drops; 3750 lbf·in with K = 0.2.
    found = _solve(
        "3/4-16 UNF", "SAE 5", mu_thread=0.15, mu_head=0.15, bearing_diameter="0.9375 in", basis="proof"
    ).found
    assert found.torque / found.preload / 0.0254 == pytest.approx(3551 / 25000, rel=0.004)
    by_factor = _solve("3/4-16 UNF", "SAE 5", nut_factor=0.2, basis="proof").found
    assert by_factor.torque / by_factor.preload / 0.0254 == pytest.approx(3750 / 25000, rel=1e-9)


@pytest.mark.parametrize(("grade", "proof_load"), [("SAE 2", 20.5), ("SAE 5", 31.7), ("SAE 8", 44.8)])
def test_the_proof_load_of_a_three_quarter_inch_bolt(grade: str, proof_load: float) -> None:
    # SAE J429, proof stress 55, 85 and 120 ksi (read) on 0.373 in² (ASME B1.1): kip.
    found = _solve("3/4-16 UNF", grade, basis="proof", utilisation=1, nut_factor=0.2).found
    assert found.preload / 4448.2216 == pytest.approx(proof_load, rel=0.002)


@pytest.mark.parametrize("mu", [0.04, 0.12, 0.3])
def test_the_preload_is_where_the_twisted_bolt_reaches_its_share_of_yield(mu: float) -> None:
    # Independent: shear τ all over the circle d0 (fully plastic) carries the thread torque, found by integration; the
    # preload is the root of von Mises stress = 0.9·Rp0.2; the thread torque comes from the wedge of the 60° flank.
    thread = threads.find("M10x1.25")
    ring = integrate.quad(lambda r: 2 * math.pi * r**2, 0, thread.mean_diameter / 2)[0]
    lever = thread.pitch / (2 * math.pi) + thread.pitch_diameter / 2 * mu / math.cos(math.radians(30))

    def excess(force: float) -> float:
        return math.hypot(force / thread.stress_area, math.sqrt(3) * force * lever / ring) - 0.9 * 640e6

    found = _solve("M10x1.25", mu_thread=mu).found
    assert found.preload == pytest.approx(optimize.brentq(excess, 1, 1e6), rel=1e-9)
    assert found.thread_torque == pytest.approx(found.preload * lever, rel=1e-12)
    assert found.equivalent_stress == pytest.approx(0.9 * 640e6, rel=1e-12)


@pytest.mark.parametrize("thread", COARSE)
def test_the_linear_screw_formula_stays_near_the_exact_wedge(thread: str) -> None:
    # Independent: tan(λ + ρ') on the pitch cylinder, the inclined plane with a 60° flank.
    found, size = _solve(thread).found, threads.find(thread)
    lead = math.atan(size.pitch / (math.pi * size.pitch_diameter))
    exact = found.preload * size.pitch_diameter / 2 * math.tan(lead + math.atan(0.12 / math.cos(math.radians(30))))
    assert found.thread_torque == pytest.approx(exact, rel=0.012)


@given(st.sampled_from(COARSE[:-1]), st.sampled_from(["4.6", "6.8", "8.8", "10.9", "12.9"]), st.floats(0.04, 0.4))
def test_a_larger_bolt_takes_more_and_friction_takes_torque_not_preload(thread: str, grade: str, mu: float) -> None:
    base = _solve(thread, grade, mu_thread=mu).found
    larger = _solve(COARSE[COARSE.index(thread) + 1], grade, mu_thread=mu).found
    assert larger.preload > base.preload
    assert larger.torque > base.torque
    assert _solve(thread, grade, mu_thread=mu * 1.1).found.preload < base.preload
    drier = _solve(thread, grade, mu_thread=mu, mu_head=0.2).found
    assert drier.preload == base.preload
    assert drier.torque > base.torque


@given(st.floats(0.05, 1), st.sampled_from(["yield", "proof"]))
def test_preload_and_torque_are_in_proportion_to_the_share(share: float, basis: str) -> None:
    whole, part = _solve(basis=basis, utilisation=1).found, _solve(basis=basis, utilisation=share).found
    assert part.preload == pytest.approx(share * whole.preload)
    assert part.torque == pytest.approx(share * whole.torque)
    assert part.nut_factor == pytest.approx(whole.nut_factor)
    assert part.yield_fraction == pytest.approx(share * whole.yield_fraction)


def test_the_ring_under_the_head_is_that_of_the_head_or_the_one_given() -> None:
    torques = [_solve(head=head).found.torque for head in ("hex", "socket", "flange", "countersunk")]
    assert torques == sorted(torques)
    given_ring = _solve(head="socket", bearing_diameter=12.815).found
    assert given_ring.torque == pytest.approx(_solve().found.torque)


def test_a_head_ring_is_not_needed_where_the_nut_factor_gives_the_torque() -> None:
    found = _solve("1/2-20 UNF", "SAE 8", nut_factor=0.18).found
    assert found.torque == pytest.approx(0.18 * found.preload * 0.0127)
    assert found.nut_factor == pytest.approx(0.18)


def test_tightening_past_yield_fails_its_check() -> None:
    dry = {check.name: check for check in _solve(mu_thread=0.3, basis="proof", utilisation=1).checks}
    assert not dry["Combined stress"].passed
    assert dry["Combined stress"].margin < 0
    assert dry["Tension"].margin == pytest.approx(0, abs=1e-12)
    oiled = {check.name: check for check in _solve(mu_thread=0.1, utilisation=1).checks}
    assert oiled["Combined stress"].margin == pytest.approx(0, abs=1e-12)
    assert oiled["Combined stress"].passed


def test_a_class_without_proof_stress_is_not_checked_against_one() -> None:
    assert [check.name for check in _solve(grade="A2-70").checks] == ["Combined stress"]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"grade": "A2-70"}, "gall"),
        ({"grade": "A4-80", "thread": "M27"}, "Above M24"),
        ({"grade": "12.9"}, "hydrogen"),
        ({"bearing_diameter": 9}, "not larger than the thread"),
    ],
)
def test_some_bolts_call_for_a_caution_of_their_own(changes: dict[str, Any], words: str) -> None:
    assert words in " ".join(_solve(**changes).cautions)
    assert words not in " ".join(_solve().cautions)


def test_stainless_bolts_to_m24_need_no_certificate_of_their_own() -> None:
    assert "certificate" not in " ".join(_solve("M24", "A2-70").cautions)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"thread": "M13"}, "thread", "nearest are M12 and M14"),
        ({"thread": "M18", "grade": "9.8"}, "grade", "covers M1.6 to M16"),
        ({"grade": "SAE 5"}, "grade", "does not belong to a metric thread"),
        ({"thread": "1/2-20 UNF"}, "grade", "does not belong to an inch thread"),
        ({"grade": "A2-70", "basis": "proof"}, "basis", "states no proof stress for A2-70; choose yield"),
        ({"thread": "1/2-20 UNF", "grade": "SAE 8"}, "bearing_diameter", "no head table for inch threads"),
        ({"thread": "M18", "head": "socket"}, "head", "choose another, or give the bearing diameter"),
        ({"thread": "M15x1.5"}, "head", "no hex head is standard for M15x1.5"),
        ({"mu_head": 1.2}, "mu_head", "at most 1"),
    ],
)
def test_what_no_table_holds_is_refused_at_its_field(changes: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**changes)
    assert list(refused.value.errors) == [field]
    assert words in refused.value.errors[field]


@pytest.mark.parametrize(
    "changes",
    [{}, {"basis": "proof"}, {"nut_factor": 0.2}, {"bearing_diameter": 13}, {"grade": "A2-70", "head": "flange"}],
)
def test_every_line_of_the_working_adds_up(changes: dict[str, Any]) -> None:
    answer = _solve(**changes)
    values = working.symbol_values(TORQUE, answer.given, answer.found)
    for step in TORQUE.working(answer.given, answer.found):
        left = step.formula.partition("=")[0].strip()
        assert working.value_of(step, values) == pytest.approx({**values, **step.values}[left][0], rel=1e-12)


def test_every_class_has_a_preload_at_a_size_it_covers() -> None:
    for grade in classes.grades():
        inch = grade.startswith("SAE")
        found = _solve("1/2-13 UNC" if inch else "M12", grade, nut_factor=0.2).found
        assert found.yield_fraction == pytest.approx(0.9)


def test_the_picture_shows_that_friction_eats_most_of_the_torque() -> None:
    # Common practice: about a tenth stretches the bolt, two fifths turn the thread, half turns the head.
    answer = _solve()
    picture = TORQUE.drawing(answer.given, answer.found)
    shares = [int(shape.words[:-2]) for shape in picture.shapes if getattr(shape, "words", "").endswith(" %")]
    assert sum(shares) == pytest.approx(100, abs=1)
    assert shares == pytest.approx([10, 40, 50], abs=8)
    assert "friction under the head" in " ".join(getattr(shape, "words", "") for shape in picture.shapes)


def test_the_picture_of_a_nut_factor_leaves_the_rest_to_it() -> None:
    answer = _solve(nut_factor=0.2)
    words = " ".join(getattr(shape, "words", "") for shape in TORQUE.drawing(answer.given, answer.found).shapes)
    assert "the rest, by the nut factor" in words
    contradicting = _solve(nut_factor=0.05)
    assert TORQUE.drawing(contradicting.given, contradicting.found) is None


def test_the_shares_in_the_picture_follow_one_another_from_nought_to_the_whole() -> None:
    # By hand: with T = K F d, the lead takes P/(2π K d) of the torque, 1.5/(2π · 0.2 · 10) = 11.9 %.
    answer = _solve(nut_factor=0.2)
    picture = TORQUE.drawing(answer.given, answer.found)
    assert "12 % stretches the bolt" in picture.description
    words = [getattr(shape, "words", "") for shape in picture.shapes]
    assert "12 %" in words
    assert words[words.index("0") : words.index("0") + 6] == ["0", "20", "40", "60", "80", "100"]
    ticks = {shape.words: shape.place[0] for shape in picture.shapes if getattr(shape, "words", "") in ("0", "100")}
    bars = [shape.points for shape in picture.shapes if getattr(shape, "fill", None) == "metal"]
    edges = [(bar[0][0], bar[1][0]) for bar in bars]
    assert edges[0][0] == pytest.approx(ticks["0"], abs=0.01)
    assert edges[-1][1] == pytest.approx(ticks["100"], abs=0.01)
    assert [start for start, _ in edges[1:]] == pytest.approx([end for _, end in edges[:-1]])


def test_a_turned_face_as_small_as_the_thread_is_questioned() -> None:
    assert "look at the figure again" in " ".join(_solve(bearing_diameter=10).cautions)
    assert "look at the figure again" not in " ".join(_solve(bearing_diameter=10.1).cautions)
