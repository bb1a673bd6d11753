import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.geometry.sweep import DialSweep, _by_rows, _by_sums, clock, gaps, turned


def _rows(angles: list[float]) -> list[tuple[float, float]]:
    return [(math.cos(angle), math.sin(angle)) for angle in angles]


@pytest.mark.parametrize(
    ("degrees", "shown"),
    [(0, "12:00"), (30, "1:00"), (125, "4:10"), (359.9, "12:00"), (357.4, "11:55"), (180, "6:00"), (1.3, "12:05")],
)
def test_a_direction_is_told_on_the_clock(degrees: float, shown: str) -> None:
    assert clock(math.radians(degrees)) == shown


@given(st.floats(-50, 50))
def test_an_angle_turns_into_one_turn(angle: float) -> None:
    assert 0 <= turned(angle) < math.tau
    assert math.cos(turned(angle)) == pytest.approx(math.cos(angle), abs=1e-9)
    assert turned(-1e-20) == 0


def test_a_place_read_twice_counts_once() -> None:
    assert gaps([0, math.pi / 2, math.tau, -math.pi]) == pytest.approx([math.pi / 2, math.pi / 2, math.pi])


def test_what_the_dowels_take_away_is_taken_from_every_reading() -> None:
    angles = [k * math.tau / 8 for k in range(8)]
    swept = DialSweep.of(angles, [5 + 3 * math.cos(a - 1) + math.cos(2 * a) for a in angles])
    left = swept.less(3, 1)
    assert (swept.offset, swept.direction, swept.rms) == pytest.approx((3, 1, math.sqrt(0.5)))
    assert (left.offset, left.mean) == pytest.approx((0, 5))
    assert left.swing == left.total_indicated == pytest.approx(2)


@given(st.lists(st.tuples(st.floats(0, 6.28), st.floats(-1, 1)), min_size=3, max_size=12, unique_by=lambda row: row[0]))
def test_both_ways_of_fitting_agree(stops: list[tuple[float, float]]) -> None:
    angles, readings = zip(*stops, strict=True)
    quick = _by_sums(_rows(angles), readings)
    if quick is not None:
        assert quick == pytest.approx(_by_rows(angles, readings), abs=1e-9)


def test_stops_close_together_are_fitted_all_the_same() -> None:
    angles = [1.0, 1.001, 1.002]
    assert _by_sums(_rows(angles), [0.0, 0.0, 0.0]) is None
    assert DialSweep.of(angles, [2 + 3 * math.cos(a - 1) for a in angles]).offset == pytest.approx(3, rel=1e-6)
