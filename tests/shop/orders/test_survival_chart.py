"""The picture of a supplier's record claims no more than the record does."""

from datetime import date, timedelta

import pytest

from shop.orders.past_order import PastOrder
from shop.orders.product_limit import kaplan_meier
from shop.orders.survival_chart import survival_chart
from specs.drawings.primitives import Polyline, Stroke

PROMISED = date(2026, 1, 5)


def record(*days_late, still_open=()):
    ended = [(days, True) for days in days_late] + [(days, False) for days in still_open]
    return kaplan_meier([PastOrder(PROMISED, PROMISED + timedelta(days=days), here) for days, here in ended])


def stairs(drawn, stroke):
    """The corners of each curve of that stroke, in the order drawn."""
    return [one.points for one in drawn.items if isinstance(one, Polyline) and one.drawn_stroke is stroke]


def test_without_orders_there_is_no_picture():
    assert survival_chart(record(), "Nuvo Splines") is None


def test_the_band_is_whole_until_the_first_arrival_and_ends_with_the_last():
    """Before the first arrival and after the last the formula has no value: nothing narrower may be drawn there."""
    drawn = survival_chart(record(0, 10, 20, 30, still_open=[-13]), "Nuvo Splines")
    (share,) = stairs(drawn, Stroke.WIDE)
    whole, nothing = share[0][1], share[-1][1]
    first_drop = min(x for x, y in share if y < whole)
    last_drop = min(x for x, y in share if y == nothing)
    bands = stairs(drawn, Stroke.DASHED)
    assert len(bands) == 2
    for band in bands:
        assert band[0] == share[0]
        assert min(x for x, y in band if y < whole) == pytest.approx(first_drop)
        assert band[-1][0] == pytest.approx(last_drop)
