"""The share of orders still out against days late, open ones censored: Kaplan and Meier's product limit."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log, nan
from statistics import NormalDist

from django.utils.translation import gettext

from shop.orders.past_order import PastOrder

Shares = tuple[float, ...]


@dataclass(frozen=True)
class SurvivalCurve:
    """A Kaplan–Meier estimate: at each of `days` late, the share of orders still out after it, with its band.

    `low` and `high` bound the share at the stated confidence (Greenwood's variance on the log-log scale); they are NaN
    where the formula has no value, that is where the share is 1 or 0. `arrived` and `still_open` say how many orders
    it rests on.
    """

    days: Shares
    share: Shares
    low: Shares
    high: Shares
    arrived: int
    still_open: int

    @property
    def orders(self) -> int:
        return self.arrived + self.still_open


def kaplan_meier(orders: Sequence[PastOrder], confidence: float = 0.95) -> SurvivalCurve:
    """Estimate how the days late of `orders` are distributed, open orders censored.

    Product limit S(t) = Π (1 − d_i / n_i) over the days t_i ≤ t, where d_i orders arrive on day t_i and n_i are out
    just before it (Kaplan and Meier, J. Am. Stat. Assoc. 53 (1958) 457–481). Band by Greenwood's variance of
    log(−log S), as in Kalbfleisch and Prentice, The Statistical Analysis of Failure Time Data, 1980, §1.3.

    >>> from datetime import date
    >>> may = date(2026, 5, 1)
    >>> curve = kaplan_meier([PastOrder(may, date(2026, 5, 4), True), PastOrder(may, date(2026, 5, 9), False)])
    >>> curve.share, curve.orders
    ((0.5, 0.5), 2)
    """
    # Without arrays: a sort and a product, on a page that has no other need of them.
    ended = Counter(order.days_late for order in orders if order.arrived)
    left = Counter(order.days_late for order in orders)
    out, share, spread = len(orders), 1.0, 0.0
    points: list[tuple[float, ...]] = []
    z = NormalDist().inv_cdf(0.5 + confidence / 2)
    for day in sorted(left):
        share *= 1 - ended[day] / out
        spread += ended[day] / (out * (out - ended[day])) if share else 0.0
        points.append((float(day), share, *_band(share, z * spread**0.5)))
        out -= left[day]
    arrived = ended.total()
    days, shares, low, high = zip(*points, strict=True) if points else ((), (), (), ())
    return SurvivalCurve(days, shares, low, high, arrived, len(orders) - arrived)


def _band(share: float, spread: float) -> tuple[float, float]:
    """Return S^exp(±z·√V / ln S) with Greenwood's V = Σ d / (n (n − d)); `spread` is z·√V."""
    if not 0 < share < 1:
        return nan, nan
    width = exp(spread / -log(share))
    return share**width, share ** (1 / width)


@dataclass(frozen=True)
class OnTime:
    """Of the `due` orders, their first promised day now past, those `in_time`: here by it; 95 % band by Wilson."""

    due: int
    in_time: int
    low: float
    high: float

    @property
    def share(self) -> float | None:
        return self.in_time / self.due if self.due else None

    @property
    def words(self) -> str:
        """Say the share with the orders it rests on."""
        if self.share is None:
            return gettext("no order whose first promised day has passed")
        return gettext("{in_time} of {due} orders, {value} % (95 % band {low} to {high} %)").format(
            in_time=self.in_time,
            due=self.due,
            value=f"{100 * self.share:.0f}",
            low=f"{100 * self.low:.0f}",
            high=f"{100 * self.high:.0f}",
        )


def on_time(orders: Iterable[PastOrder]) -> OnTime:
    """Count the orders here by the day first promised, among those that were here by it or still out after it.

    An open order whose day lies ahead says nothing yet and is not counted. An order never given a day is never in time.
    """
    in_time = due = 0
    for order in orders:
        punctual = order.arrived and order.days_late <= 0 and order.was_dated
        in_time += punctual
        due += punctual or order.days_late > 0
    return OnTime(due, in_time, *_wilson(in_time, due)) if due else OnTime(0, 0, 0.0, 1.0)


def _wilson(hits: int, of: int, z: float = 1.959964) -> tuple[float, float]:
    """Return Wilson's score interval of a share (Wilson, J. Am. Stat. Assoc. 22 (1927) 209–212)."""
    middle, width = hits + z * z / 2, z * (hits * (of - hits) / of + z * z / 4) ** 0.5
    return max(0.0, (middle - width) / (of + z * z)), min(1.0, (middle + width) / (of + z * z))
