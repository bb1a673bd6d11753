"""A supplier's record drawn: the share of orders still out against days late, with its band."""

from __future__ import annotations

from itertools import pairwise
from math import isnan

from django.utils.translation import gettext

from shop.orders.product_limit import Shares, SurvivalCurve
from specs.drawings.chart import Curve, Limit, plot
from specs.drawings.primitives import Drawing, Role, Stroke
from specs.drawings.scale import Axis

Steps = tuple[tuple[float, float], ...]


def survival_chart(curve: SurvivalCurve, name: str) -> Drawing | None:
    """Return the chart of a record; None while it rests on no orders."""
    if not curve.orders:
        return None
    axis = Axis.around(gettext("days late, by the first promise"), curve.days, zero=True)
    curves = [
        Curve(_steps(curve.days, curve.low, axis), "", Role.HIDDEN, Stroke.DASHED),
        Curve(_steps(curve.days, curve.high, axis), gettext("95 % band"), Role.HIDDEN, Stroke.DASHED),
        Curve(_steps(curve.days, curve.share, axis), gettext("still out")),
    ]
    return plot(
        gettext("Days late of {name}").format(name=name),
        gettext("Share of {orders} orders still out, by days late; {still_open} of them open or cancelled.").format(
            orders=curve.orders, still_open=curve.still_open
        ),
        x=axis,
        y=Axis(gettext("share of orders still out [%]"), 0, 100),
        curves=[line for line in curves if len(line.points) > 1],
        limits=[Limit(0, gettext("promised"), upright=True)],
    )


def _steps(days: Shares, shares: Shares, axis: Axis) -> Steps:
    """The corners of a falling stair, whole until its first value; the band ends where it has a value no more."""
    known = [(day, 100 * share) for day, share in zip(days, shares, strict=True) if not isnan(share)]
    if not known:
        return ()
    points = [(axis.low, 100.0), (known[0][0], 100.0), known[0]]
    for (_, before), (day, share) in pairwise(known):
        points += [(day, before), (day, share)]
    last, least = known[-1]
    ends = next((day for day in days if day > last), axis.high)
    return (*points, (ends, least))
