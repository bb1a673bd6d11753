"""The share of orders still out against days late, open ones censored: Kaplan and Meier's product limit."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import NormalDist
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext

from shop.orders.past_order import PastOrder

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Shares = NDArray[np.float64]


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
    >>> [float(share) for share in curve.share], curve.orders
    ([0.5, 0.5], 2)
    """
    import numpy as np

    late = np.array([order.days_late for order in orders], dtype=float)
    arrived = np.array([order.arrived for order in orders], dtype=bool)
    days, row = np.unique(late, return_inverse=True)
    ended = np.bincount(row, weights=arrived, minlength=len(days))
    out = len(late) - np.searchsorted(np.sort(late), days)
    share = np.cumprod(1 - ended / np.maximum(out, 1))
    low, high = _band(share, ended, out, confidence)
    return SurvivalCurve(days, share.astype(float), low, high, int(arrived.sum()), int((~arrived).sum()))


def _band(share: Any, ended: Any, out: Any, confidence: float) -> tuple[Shares, Shares]:
    """Return S^exp(±z·√V / ln S) with Greenwood's V = Σ d / (n (n − d))."""
    import numpy as np

    z = NormalDist().inv_cdf(0.5 + confidence / 2)
    with np.errstate(divide="ignore", invalid="ignore"):
        spread = z * np.sqrt(np.cumsum(ended / (out * (out - ended)))) / np.abs(np.log(share))
        low, high = share ** np.exp(spread), share ** np.exp(-spread)
    known = (share > 0) & (share < 1)
    return np.where(known, low, np.nan), np.where(known, high, np.nan)


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
