"""A supplier's record held against hand-made records; its calibration is in test_calibration.py."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.orders.past_order import PastOrder
from shop.orders.supplier_record import Record
from shop.orders.supplier_spread import alike, fit_spread

PROMISED = date(2026, 1, 5)


def past(days_late, arrived=True):
    return PastOrder(PROMISED, PROMISED + timedelta(days=int(days_late)), bool(arrived))


def pasts(arrived, still_open=()):
    return [past(d) for d in arrived] + [past(d, arrived=False) for d in still_open]


def record_of(own, others=()):
    """One supplier's record, among others with their orders."""
    orders = dict(enumerate([own, *others]))
    return Record(0, tuple(own), sum(map(len, orders.values())), fit_spread(orders))


def test_the_order_asked_about_counts_as_one_more_open_order():
    """Nine arrivals leave ten gaps of equal chance: half are here by the fifth, four in five by the eighth."""
    wait = record_of(pasts(range(10, 100, 10))).wait(0)
    assert (wait.within(0.5), wait.within(0.8)) == (pytest.approx(50, abs=4), pytest.approx(80, abs=4))
    assert wait.still_out[89] == pytest.approx(0.1, abs=0.03), "a tenth lies beyond all that was seen"


def test_the_wait_is_conditional_on_the_wait_so_far():
    record = record_of(pasts(range(10, 100, 10)))
    assert record.wait(40).within(0.5) == pytest.approx(70 - 40, abs=4), "of the six gaps left, the third ends at 70"
    whole = record.wait(0).still_out
    assert record.wait(40).still_out[9] > whole[49], "out for 40 days makes out for 50 more likely"


def test_a_first_promise_that_lies_ahead_is_waited_for_too():
    assert record_of(pasts([0] * 9 + [10] * 9)).wait(-20).within(0.4) == 20


def test_ten_open_orders_long_overdue_and_none_delivered_are_no_punctual_supplier():
    """The case that a record of arrivals alone took for punctual: 38 days stated for a promise of 30."""
    others = [pasts([0, 2, 5, 8] * 3) for _ in range(8)]
    never = pasts([], range(150, 200, 5))
    wait = record_of(never, others).wait(-30)
    assert wait.four_in_five is None or wait.four_in_five > 30 + 100
    assert record_of([], others).wait(-30).four_in_five < 30 + 15, "while any other is"


def test_one_curve_that_never_reaches_four_in_five_says_later_than():
    wait = record_of(pasts([5, 10], [10, 20, 30, 40])).wait(0)
    assert wait.four_in_five is None
    assert wait.known_days == 10


def test_a_supplier_without_orders_may_be_like_any_other():
    quick, slow = pasts(range(10)), pasts(range(40, 80, 4))
    stranger = record_of([], [quick, slow]).wait(0)
    assert record_of(quick, [slow]).wait(0).median < stranger.median < record_of(slow, [quick]).wait(0).median


def test_the_pull_towards_the_others_is_strong_where_suppliers_are_alike_and_weak_where_they_differ():
    own = pasts([30, 45])
    similar = [pasts([0, 5, 10, 15, 20, 40]) for _ in range(10)]
    differing = [pasts([0, 1, 2, 3, 4, 5]) if n % 2 else pasts([20, 40, 60, 80, 90, 100]) for n in range(10)]
    pace = lambda others: record_of(own, others).spread.pace(0) / record_of(own, others).spread.pace(2)  # noqa: E731
    assert 0.35 < pace(similar) < 1
    assert pace(differing) < 0.2, "it is of the slow kind"


def test_open_orders_pull_a_supplier_down_as_they_grow_older():
    others = [pasts([0, 5, 10, 20]) for _ in range(6)]
    paces = [record_of(pasts([3], [days] * 4), others).spread.pace(0) for days in (1, 20, 60)]
    assert paces[0] > paces[1] > paces[2]


def test_one_punctual_supplier_alone_keeps_its_pace_with_one_order_out():
    """Pace times rate alone is observed; the scale of the paces must not drift while both are estimated in turn."""
    record = record_of(pasts([0] * 25, [10]))
    assert 0.3 < record.spread.pace(0) < 3
    assert record.wait(10).still_out[39] < 0.2


def test_the_grounds_state_the_numbers():
    words = record_of(pasts([3] * 5, [9]), [pasts([1] * 50)]).grounds
    assert "5 arrived and 1 open" in words
    assert "56 orders of all suppliers" in words
    undated = PastOrder(PROMISED, PROMISED, arrived=False, was_dated=False)
    assert "1 never given a date" in record_of([undated]).grounds


def test_orders_that_ended_alike_count_as_many_as_they_are():
    """Ties after Efron (J. Am. Stat. Assoc. 72 (1977) 557-565), an order at a time; of one supplier the pace is 1.

    The tail is arrivals over the days of all late orders: the exponential rate with censoring (Epstein and Sobel,
    J. Am. Stat. Assoc. 48 (1953) 486-502).
    """
    arrived, still_open = [0] * 30 + [3] * 50 + [9] * 20, [1] * 7 + [9] * 4
    spread = fit_spread({0: pasts(arrived, still_open)})
    out, rate = len(arrived) + len(still_open), 0.0
    for day, came, gone_before in ((0, 30, 0), (3, 50, 7), (9, 20, 0)):
        out -= gone_before  # open orders known for fewer days
        rate += sum(1 / (out - k + 0.5) for k in range(came))
        out -= came
        assert spread.rate[list(spread.days).index(day)] == pytest.approx(rate, rel=1e-12)
    assert spread.tail == pytest.approx(70 / (50 * 3 + 20 * 9 + 7 * 1 + 4 * 9), rel=1e-12)


def test_what_the_spread_is_fitted_to_does_not_grow_with_orders_that_ended_alike():
    few, many = (alike(pasts([0, 3, 9] * times, [9] * times)) for times in (1, 1000))
    assert few.keys() == many.keys()
    assert (few[3, True], many[3, True]) == (1, 1000)


def test_without_any_arrival_no_date_is_stated_but_draws_go_on():
    wait = record_of([]).wait(0)
    assert (wait.median, wait.four_in_five, wait.known_days) == (None, None, 0)
    assert wait.draw(100, np.random.default_rng(1)).min() >= 1


def test_draws_follow_the_stated_chances():
    wait = record_of(pasts(range(0, 80, 2), still_open=range(10, 50, 10))).wait(5)
    drawn = wait.draw(20000, np.random.default_rng(1))
    assert drawn.min() >= 1
    for chance in (0.2, 0.5, 0.8):
        assert np.mean(drawn <= wait.within(chance)) >= chance - 0.015
        assert np.mean(drawn < wait.within(chance)) <= chance + 0.015


def test_nothing_is_drawn_before_the_soonest_day_the_supplier_names():
    wait = record_of(pasts([0, 1, 2] * 20)).wait(-3)
    assert wait.draw(200, np.random.default_rng(1), not_before=30).min() == 30


def test_a_chance_outside_0_to_1_is_refused():
    with pytest.raises(ValueError, match="between 0 and 1"):
        record_of([]).wait(0).within(1.0)


days_late = st.integers(-60, 400)
some_orders = st.lists(st.tuples(days_late, st.booleans()), max_size=12)


@given(some_orders, st.lists(some_orders, max_size=4), st.integers(-90, 900))
def test_a_wait_always_falls_from_one_towards_nothing(own, others, so_far):
    made = [[past(days, arrived) for days, arrived in of_one] for of_one in (own, *others)]
    wait = record_of(made[0], made[1:]).wait(so_far)
    assert np.all((wait.still_out >= 0) & (wait.still_out <= 1))
    assert np.all(np.diff(wait.still_out) <= 1e-12)
    if wait.four_in_five is not None:
        assert 1 <= wait.median <= wait.four_in_five <= wait.known_days
