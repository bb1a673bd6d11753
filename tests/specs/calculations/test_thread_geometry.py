"""Thread sizes."""

from __future__ import annotations

import math

import pytest

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from specs.standards import threads

THREAD = calculations()["thread-geometry"]


def _solve(thread: str) -> Answer:
    return solve(THREAD, {"thread": thread})


@pytest.mark.parametrize(
    ("thread", "area"),
    # ISO 898-1:2013, tables 4 to 7, nominal stress area [mm²], three figures: coarse read in a public reproduction of
    # the load tables, fine from memory.
    [
        ("M3", 5.03),
        ("M5", 14.2),
        ("M7", 28.9),
        ("M10", 58.0),
        ("M14", 115),
        ("M18", 192),
        ("M22", 303),
        ("M24", 353),
        ("M27", 459),
        ("M30", 561),
        ("M33", 694),
        ("M36", 817),
        ("M8x1", 39.2),
        ("M10x1", 64.5),
        ("M14x1.5", 125),
        ("M16x1.5", 167),
        ("M20x1.5", 272),
        ("M24x2", 384),
        ("M36x3", 865),
    ],
)
def test_stress_areas_are_those_that_iso_898_1_prints(thread: str, area: float) -> None:
    assert _solve(thread).found.stress_area * 1e6 == pytest.approx(area, rel=0.005)


@pytest.mark.parametrize(
    ("thread", "pitch_diameter", "minor", "area"),
    # ASME B1.1 UNF: pitch diameter, external minor diameter (UNR) [in] and tensile stress area [in²], read in a public
    # table.
    [
        ("#4-48 UNF", 0.0985, 0.0871, 0.00661),
        ("#10-32 UNF", 0.1697, 0.1528, 0.0200),
        ("1/4-28 UNF", 0.2268, 0.2074, 0.0364),
        ("5/16-24 UNF", 0.2854, 0.2629, 0.0580),
        ("3/8-24 UNF", 0.3479, 0.3254, 0.0878),
        ("7/16-20 UNF", 0.4050, 0.3780, 0.1187),
    ],
)
def test_unified_sizes_are_those_of_asme_b1_1(thread: str, pitch_diameter: float, minor: float, area: float) -> None:
    found = _solve(thread).found
    assert found.pitch_diameter / 0.0254 == pytest.approx(pitch_diameter, abs=6e-5)
    assert found.minor_diameter / 0.0254 == pytest.approx(minor, abs=1.2e-4)
    assert found.stress_area / 0.0254**2 == pytest.approx(area, rel=0.003)


@pytest.mark.parametrize("thread", [thread.designation for thread in threads.metric()])
def test_metric_diameters_follow_from_the_sharp_triangle(thread: str) -> None:
    # Independent: ISO 68-1 profile, H = √3/2·P; the pitch line lies 3/8·H under the crest, the bolt's root H/6 above
    # the sharp V.
    found = _solve(thread).found
    height = math.sqrt(3) / 2 * found.pitch
    assert found.pitch_diameter == pytest.approx(found.major_diameter - 2 * 3 / 8 * height, abs=2e-9)
    sharp_root = found.major_diameter + 2 * height / 8 - 2 * height
    assert found.minor_diameter == pytest.approx(sharp_root + 2 * height / 6, abs=2e-9)


def test_the_working_says_where_the_drill_comes_from() -> None:
    tabulated, reckoned = _solve("M12"), _solve("3/8-32 UNEF")
    assert list(THREAD.working(tabulated.given, tabulated.found))[-1].note == "drill of ISO 2306"
    last = list(THREAD.working(reckoned.given, reckoned.found))[-1]
    assert last.formula == "D_t = d - P"
    assert reckoned.found.tap_drill == reckoned.found.major_diameter - reckoned.found.pitch


def test_an_unknown_thread_is_refused_at_its_field_with_its_neighbours() -> None:
    with pytest.raises(BadInput) as refused:
        _solve("M13")
    assert refused.value.errors == {"thread": "M13 is not an ISO 261 size; the nearest are M12 and M14."}
