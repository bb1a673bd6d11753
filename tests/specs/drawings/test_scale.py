from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.scale import Axis, round_ticks, spread, thinned

values = st.floats(-1e6, 1e6)


@pytest.mark.parametrize(
    ("low", "high", "most", "words"),
    [
        (0, 7000, 7, ["0", "1000", "2000", "3000", "4000", "5000", "6000", "7000"]),
        (0, 1, 4, ["0.00", "0.25", "0.50", "0.75", "1.00"]),
        (-0.3, 0.3, 6, ["−0.3", "−0.2", "−0.1", "0.0", "0.1", "0.2", "0.3"]),
        (3, 26, 5, ["5", "10", "15", "20", "25"]),
        (0, 100, 4, ["0", "25", "50", "75", "100"]),
    ],
)
def test_ticks_stand_at_round_numbers(low, high, most, words):
    assert [words for _, words in round_ticks(low, high, most)] == words


@given(values, st.floats(1e-3, 1e6), st.integers(1, 12))
def test_ticks_stay_within_and_are_few_and_told_apart(low, span, most):
    ticks = round_ticks(low, low + span, most)

    assert len(ticks) <= most + 1
    assert all(low - 1e-6 * span <= value <= low + span * (1 + 1e-6) for value, _ in ticks)
    assert len({words for _, words in ticks}) == len(ticks)
    assert all(float(words.replace("−", "-")) == pytest.approx(value, abs=1e-6 * span) for value, words in ticks)


def test_values_that_differ_by_a_rounding_still_have_an_axis():
    # Found by trying: these two raised, for no round number lies between them.
    axis = Axis.around("x", [197984692.7858909, 197984692.78589094])

    assert axis.low < 197984692 < axis.high


@given(st.lists(values, min_size=1))
def test_an_axis_reaches_round_all_values(numbers):
    axis = Axis.around("x", numbers)
    slack = 1e-6 * (axis.high - axis.low)

    assert axis.low - slack <= min(numbers)
    assert max(numbers) <= axis.high + slack


def test_an_axis_may_be_told_to_show_nought():
    assert Axis.around("x", [40, 90], zero=True).low == 0
    assert Axis.around("x", [5, 5]).low < 5 < Axis.around("x", [5, 5]).high
    assert Axis.around("x", [0]).low < 0


def test_an_axis_places_its_ends_and_keeps_own_ticks():
    axis = Axis("day", 0, 10, ((2, "Mon"),))

    assert (axis.place(0, 20, 100), axis.place(10, 20, 100)) == (20, 120)
    assert axis.marks(6) == ((2, "Mon"),)


@pytest.mark.parametrize(("low", "high"), [(1, 1), (2, 1), (0, float("inf")), (float("nan"), 1)])
def test_an_axis_without_length_is_refused(low, high):
    with pytest.raises(ValueError, match="lower to a higher"):
        Axis("x", low, high)


@given(st.lists(st.floats(-100, 100), max_size=12), st.floats(0.1, 10))
def test_labels_keep_their_distance_and_their_order(wanted, gap):
    places = spread(wanted, gap)

    order = sorted(range(len(wanted)), key=lambda k: wanted[k])
    assert all(places[b] - places[a] >= gap - 1e-9 for a, b in pairwise(order))


def test_labels_that_do_not_collide_stay_where_they_are():
    assert spread([30, 0, 10], 5) == (30, 0, 10)
    assert spread([0, 1], 5) == (-2, 3)


def test_words_that_would_run_into_each_other_are_thinned():
    ticks = [(k, str(k)) for k in range(6)]

    assert thinned(ticks, [0, 10, 20, 30, 40, 50], [8] * 6) == (True,) * 6
    assert thinned(ticks, [0, 10, 20, 30, 40, 50], [18] * 6) == (True, False, True, False, True, False)
    assert thinned(ticks, [0, 1, 2, 3, 4, 5], [99] * 6) == (True, False, False, False, False, False)
