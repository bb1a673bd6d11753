"""The share of orders still out against published survival data, against scipy, and by hand."""

import warnings
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.orders.past_order import PastOrder
from shop.orders.product_limit import kaplan_meier, on_time

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
    assert (count.due, count.in_time, count.share) == (5, 2, 0.4)


def test_an_order_not_yet_due_says_nothing_about_punctuality():
    count = on_time(pasts([], still_open=[-1, 0]))
    assert (count.due, count.share) == (0, None)


def test_published_wilson_interval():
    """81 of 263: 0.2553 to 0.3662 by Wilson's score (Newcombe, Statistics in Medicine 17 (1998) 857, table I)."""
    count = on_time(pasts([0] * 81 + [1] * (263 - 81)))
    assert (count.low, count.high) == pytest.approx((0.2553, 0.3662), abs=5e-5)


@given(st.lists(st.tuples(st.integers(-60, 400), st.booleans()), min_size=1, max_size=30))
def test_curve_and_band_are_those_of_a_reference_library(history):
    """scipy.stats.ecdf with CensoredData: the product limit and its log-log band."""
    from scipy.stats import CensoredData, ecdf

    curve = kaplan_meier([past(days, arrived) for days, arrived in history])
    ended = [days for days, arrived in history if arrived]
    still_open = [days for days, arrived in history if not arrived]
    survival = ecdf(CensoredData(uncensored=np.array(ended, float), right=np.array(still_open, float))).sf
    assert curve.days == pytest.approx(survival.quantiles)
    assert curve.share == pytest.approx(survival.probabilities)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", RuntimeWarning)  # where it has no value, which the last line is about
        band = survival.confidence_interval(method="log-log")
    share, low, high = map(np.array, (curve.share, curve.low, curve.high))
    known = (share > 0) & (share < 1)
    assert low[known] == pytest.approx(band.low.probabilities[known], abs=1e-9)
    assert high[known] == pytest.approx(band.high.probabilities[known], abs=1e-9)
    assert np.isnan(low[~known]).all()


@given(st.integers(0, 300), st.integers(1, 300))
def test_the_band_of_a_share_is_that_of_a_reference_library(hits, misses):
    from scipy.stats import binomtest

    count, band = (
        on_time(pasts([0] * hits + [1] * misses)),
        binomtest(hits, hits + misses).proportion_ci(method="wilson"),
    )
    assert (count.low, count.high) == pytest.approx((band.low, band.high), abs=1e-6)


def test_an_order_never_given_a_date_is_never_in_time():
    came = PastOrder(PROMISED, PROMISED, arrived=True, was_dated=False)
    late = PastOrder(PROMISED, PROMISED + timedelta(days=9), arrived=False, was_dated=False)
    assert (on_time([came, late]).due, on_time([came, late]).in_time) == (1, 0)
