"""A supplier's record against a published survival data set, against simulation, and for honest chances."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.orders.supplier_record import (
    OWN_RECORD_FROM,
    PastOrder,
    Record,
    kaplan_meier,
    on_time,
)

PROMISED = date(2026, 1, 5)


def past(days_late, arrived=True):
    return PastOrder(PROMISED, PROMISED + timedelta(days=int(days_late)), bool(arrived))


def pasts(arrived, still_open=()):
    return [past(d) for d in arrived] + [past(d, arrived=False) for d in still_open]


# Remission of acute leukaemia, weeks. Freireich et al., Blood 21 (1963) 699–716; the worked example of most survival
# textbooks: Kleinbaum and Klein, Survival Analysis, 3rd ed. 2012, chapter 2 (table of S, four decimals); Cox and Oakes,
# Analysis of Survival Data, 1984, p. 7. The data, and for 6-MP the shares and standard errors to three decimals,
# compared with what survfit of R's package survival prints for drug6mp of KMsurv (Klein and Moeschberger, 1997, section
# 1.2); the fourth decimal and the log-log band from memory.
SIX_MP = pasts([6, 6, 6, 7, 10, 13, 16, 22, 23], [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35])
PLACEBO = pasts([1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23])


def share_after(curve, day):
    return curve.share[np.searchsorted(curve.days, day, side="right") - 1]


@pytest.mark.parametrize(
    ("week", "share"), [(6, 0.8571), (7, 0.8067), (10, 0.7529), (13, 0.6902), (16, 0.6275), (22, 0.5378), (23, 0.4482)]
)
def test_published_product_limit_with_censoring(week, share):
    assert share_after(kaplan_meier(SIX_MP), week) == pytest.approx(share, abs=5e-5)


@pytest.mark.parametrize(
    ("week", "share"),
    [(1, 0.9048), (2, 0.8095), (3, 0.7619), (4, 0.6667), (5, 0.5714), (8, 0.3810), (11, 0.2857)]
    + [(12, 0.1905), (15, 0.1429), (17, 0.0952), (22, 0.0476), (23, 0.0)],
)
def test_published_product_limit_without_censoring(week, share):
    assert share_after(kaplan_meier(PLACEBO), week) == pytest.approx(share, abs=5e-5)


def test_published_band():
    """S(6) = 0.857, 95 % on the log-log scale 0.620 to 0.952; S(23) = 0.448, 0.188 to 0.680 (the same data)."""
    curve = kaplan_meier(SIX_MP)
    first, last = np.searchsorted(curve.days, [6, 23])
    assert (curve.low[first], curve.high[first]) == pytest.approx((0.620, 0.952), abs=5e-4)
    assert (curve.low[last], curve.high[last]) == pytest.approx((0.188, 0.680), abs=5e-4)


def test_band_by_greenwoods_formula_written_out():
    """Var S = S² Σ d/(n(n−d)); the band is S^exp(±1.96·√Var / (S ln S)), computed here by hand for week 10."""
    curve = kaplan_meier(SIX_MP)
    share = (1 - 3 / 21) * (1 - 1 / 17) * (1 - 1 / 15)
    greenwood = 3 / (21 * 18) + 1 / (17 * 16) + 1 / (15 * 14)
    assert share * np.sqrt(greenwood) == pytest.approx(0.0963, abs=5e-5), "the printed standard error"
    width = 1.959964 * np.sqrt(greenwood) / abs(np.log(share))
    at = np.searchsorted(curve.days, 10)
    assert curve.low[at] == pytest.approx(share ** np.exp(width), rel=1e-6)
    assert curve.high[at] == pytest.approx(share ** np.exp(-width), rel=1e-6)


def test_the_curve_says_how_many_orders_it_rests_on():
    curve = kaplan_meier(SIX_MP)
    assert (curve.arrived, curve.still_open, curve.orders) == (9, 12, 21)
    assert kaplan_meier([]).orders == 0


def test_forgetting_open_orders_would_flatter_the_supplier():
    everything, only_arrived = kaplan_meier(SIX_MP), kaplan_meier([order for order in SIX_MP if order.arrived])
    assert share_after(everything, 16) > share_after(only_arrived, 16)


def test_on_time_counts_by_the_first_promise():
    count = on_time(pasts([-3, 0, 1, 20], still_open=[5, -10]))
    assert (count.due, count.kept, count.share) == (5, 2, 0.4)


def test_an_order_not_yet_due_says_nothing_about_punctuality():
    count = on_time(pasts([], still_open=[-1, 0]))
    assert (count.due, count.share) == (0, None)


def test_published_wilson_interval():
    """81 of 263: 0.2553 to 0.3662 by Wilson's score (Newcombe, Statistics in Medicine 17 (1998) 857, table I)."""
    count = on_time(pasts([0] * 81 + [1] * (263 - 81)))
    assert (count.low, count.high) == pytest.approx((0.2553, 0.3662), abs=5e-5)


def test_the_order_asked_about_counts_as_one_more_open_order():
    """Nine arrivals leave ten gaps of equal chance: half are here by the fifth, four in five by the eighth."""
    record = Record(tuple(pasts(range(10, 100, 10))), tuple(pasts(range(10, 100, 10))))
    wait = record.wait(0)
    assert (wait.within(0.5), wait.within(0.8)) == (50, 80)
    assert wait.still_out[89] == pytest.approx(0.1), "a tenth of the chance lies beyond all that was ever seen"


def test_the_wait_is_conditional_on_the_wait_so_far():
    record = Record((), tuple(pasts(range(10, 100, 10))))
    assert record.wait(0).within(0.5) == 50
    assert record.wait(40).within(0.5) == 70 - 40, "of the six gaps left, the third ends at 70"
    assert record.wait(45).within(0.5) == 73 - 45, "half of a gap is gone: 2¾ gaps of the 5½ left end at 72.5"


def test_a_first_promise_that_lies_ahead_is_waited_for_too():
    record = Record((), tuple(pasts([0] * 9 + [10] * 9)))
    assert record.wait(-20).within(0.4) == 20


def test_few_orders_lean_on_everybody():
    slow, everybody = tuple(pasts([60] * 5)), tuple(pasts([0] * 200))
    assert Record(slow, everybody).own_weight == pytest.approx(0.25)
    assert Record(slow * 4, everybody).own_weight == 1
    assert Record(slow, everybody).wait(-1).within(0.7) <= 1
    assert Record(slow * 4, everybody).wait(-1).within(0.7) == 61


def test_the_grounds_state_the_numbers_and_the_weight():
    words = Record(tuple(pasts([3] * 5, [9])), tuple(pasts([1] * 50))).grounds
    assert "5 arrived and 1 open" in words
    assert "75 % on the 50 orders of all suppliers" in words
    assert Record(tuple(pasts([3] * OWN_RECORD_FROM)), ()).grounds.endswith("of this supplier alone.")


def test_without_any_history_there_is_still_an_answer():
    wait = Record((), ()).wait(0)
    assert 1 <= wait.median < wait.four_in_five < 60


def test_a_supplier_that_never_delivered_is_judged_by_its_open_orders_and_the_others():
    wait = Record(tuple(pasts([], [200, 90])), tuple(pasts([5] * 30, [200, 90]))).wait(100)
    assert wait.median >= 1
    assert np.all(np.diff(wait.still_out) <= 1e-12)


def test_conditional_waits_agree_with_simulation():
    """Of 4,000 simulated orders that were still out after 20 days, half came within the stated median."""
    rng = np.random.default_rng(5)
    law = rng.gamma(2.0, 15.0, 400).round()
    wait = Record(tuple(pasts(law)), tuple(pasts(law))).wait(20)
    later = rng.gamma(2.0, 15.0, 40000).round() - 20
    later = later[later > 0][:4000]
    assert np.mean(later <= wait.median) == pytest.approx(0.5, abs=0.06)
    assert np.mean(later <= wait.four_in_five) == pytest.approx(0.8, abs=0.05)


def test_draws_follow_the_stated_chances():
    wait = Record((), tuple(pasts(range(0, 80, 2), still_open=range(10, 50, 10)))).wait(5)
    drawn = wait.draw(20000, np.random.default_rng(1))
    assert drawn.min() >= 1
    for chance in (0.2, 0.5, 0.8):
        assert np.mean(drawn <= wait.within(chance)) >= chance - 0.015
        assert np.mean(drawn < wait.within(chance)) <= chance + 0.015


def test_nothing_is_drawn_before_the_soonest_day_the_supplier_names():
    wait = Record((), tuple(pasts([0, 1, 2] * 20))).wait(-3)
    assert wait.draw(200, np.random.default_rng(1), not_before=30).min() == 30


LAWS = {
    "exponential": lambda rng, n: rng.exponential(20, n),
    "gamma, rarely early": lambda rng, n: rng.gamma(3, 10, n) - 8,
    "lognormal": lambda rng, n: rng.lognormal(2.5, 0.8, n),
    "uniform": lambda rng, n: rng.uniform(-10, 60, n),
    "mostly on time, sometimes months": lambda rng, n: np.where(
        rng.random(n) < 0.6, rng.normal(0, 4, n), rng.exponential(60, n)
    ),
}


def observed(law, rng, count):
    """`count` orders of a law, as a shop sees them: some are looked at while still open."""
    late = np.ceil(law(rng, count))
    seen_at = np.ceil(rng.exponential(90, count))
    return [past(min(a, b), arrived=a <= b) for a, b in zip(late, seen_at, strict=True)]


@pytest.mark.parametrize("count", [12, 25, 60])
@pytest.mark.parametrize("law", LAWS.values(), ids=LAWS.keys())
@pytest.mark.parametrize("so_far", [-30, 5])
def test_the_stated_80_percent_covers_75_to_85_percent_of_arrivals(law, count, so_far):
    """The supplier's law is everybody's law here, so that the pooling weight plays no part in the truth."""
    rng = np.random.default_rng(77)
    covered = []
    for _ in range(120):
        orders = tuple(observed(law, rng, count))
        stated = Record(orders, orders).wait(so_far).within(0.8)
        truth = np.ceil(law(rng, 1000)) - so_far
        covered.append(np.mean(truth[truth > 0] <= stated))
    assert 0.75 <= np.mean(covered) <= 0.85


def test_pooled_suppliers_are_covered_on_average_while_few():
    """Suppliers differ (means of 8 to 40 days late) and have four orders each: the 80 % holds over all of them."""
    rng = np.random.default_rng(3)
    covered = []
    for _ in range(60):
        means = rng.uniform(8, 40, 12)
        own = [tuple(pasts(np.ceil(rng.exponential(mean, 4)))) for mean in means]
        everybody = tuple(order for orders in own for order in orders)
        for mean, orders in zip(means, own, strict=True):
            stated = Record(orders, everybody).wait(0).within(0.8)
            covered.append(np.mean(np.ceil(rng.exponential(mean, 500)) <= stated))
    assert 0.75 <= np.mean(covered) <= 0.85


days_late = st.integers(-60, 400)


@given(st.lists(st.tuples(days_late, st.booleans()), max_size=25), st.integers(-90, 900))
def test_a_wait_always_falls_from_one_towards_nothing(history, so_far):
    orders = tuple(past(days, arrived) for days, arrived in history)
    wait = Record(orders, orders).wait(so_far)
    assert np.all(wait.still_out >= 0)
    assert np.all(wait.still_out <= 1)
    assert np.all(np.diff(wait.still_out) <= 1e-12)
    assert wait.still_out[-1] < 0.01
    assert 1 <= wait.median <= wait.four_in_five
