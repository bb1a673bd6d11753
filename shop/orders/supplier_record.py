"""A supplier's record: how late it delivers, counted so that orders still open are not forgotten.

The clock of a record is *days late*: from the day first promised to the day everything was here. An order that is still
open, or was cancelled, is known to be later than it was on its last day; it is counted as right-censored there
(Kaplan and Meier, J. Am. Stat. Assoc. 53 (1958) 457–481), because leaving it out would flatter exactly those suppliers
who never deliver.

Rules that a person should know, also shown on the page:

- **Prediction.** The order asked about is counted as one more order, still open when all others have ended. So a record
  of n orders never claims to know what lies beyond them: at least 1/(n + 1) of the chance lies past the latest of them.
  Between two arrivals the chance of one order is spread evenly over the days.
- **Beyond the latest order of the record** waiting goes on with the mean of the record's days late (exponential tail).
- **Few orders.** Each arrived order of a supplier counts 1/20; the rest of the weight is the record of all suppliers
  together. From 20 arrived orders on, a supplier stands on its own record alone.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Days = NDArray[np.int64]
    Shares = NDArray[np.float64]

OWN_RECORD_FROM = 20
"""Arrived orders from which a supplier's record needs no help from the others'."""

TAIL_DAYS_WITHOUT_RECORD = 14.0
"""Mean further wait, in days, assumed where no order of anybody ever came late. An assumption, no source."""

TAIL_LENGTHS = 12
"""How many mean tails a wait is followed for; beyond it e^-12 of the chance is put on the last day."""


@dataclass(frozen=True)
class PastOrder:
    """One order for the record: the day first promised, and the day it arrived or the day until which it was open.

    `ended_on` is the day of arrival when `arrived`, else the last day it was known to be open: today, or the day it was
    cancelled.
    """

    first_promised: date
    ended_on: date
    arrived: bool

    @property
    def days_late(self) -> int:
        return (self.ended_on - self.first_promised).days


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

    Product limit S(t) = Π (1 − d_i / n_i) by `scipy.stats.ecdf`; band by Greenwood's variance of log(−log S), as in
    Kalbfleisch and Prentice, The Statistical Analysis of Failure Time Data, 1980, §1.3.

    >>> may = date(2026, 5, 1)
    >>> curve = kaplan_meier([PastOrder(may, date(2026, 5, 4), True), PastOrder(may, date(2026, 5, 9), False)])
    >>> [float(share) for share in curve.share], curve.orders
    ([0.5, 0.5], 2)
    """
    import numpy as np
    from scipy.stats import CensoredData, ecdf

    ended = np.array([order.days_late for order in orders if order.arrived], dtype=float)
    still_open = np.array([order.days_late for order in orders if not order.arrived], dtype=float)
    if not len(orders):
        nothing = np.array([], dtype=float)
        return SurvivalCurve(nothing, nothing, nothing, nothing, 0, 0)
    survival: Any = ecdf(CensoredData(uncensored=ended, right=still_open)).sf
    with warnings.catch_warnings():
        # Where the share is 1 or 0 the band has no value; NaN says so.
        warnings.simplefilter("ignore", RuntimeWarning)
        band = survival.confidence_interval(confidence_level=confidence, method="log-log")
    low, high = band.low.probabilities, band.high.probabilities
    return SurvivalCurve(survival.quantiles, survival.probabilities, low, high, len(ended), len(still_open))


@dataclass(frozen=True)
class OnTime:
    """Of the `due` orders, first promised for a day now past, those `kept`: here by it; with a 95 % band (Wilson)."""

    due: int
    kept: int
    low: float
    high: float

    @property
    def share(self) -> float | None:
        return self.kept / self.due if self.due else None

    @property
    def words(self) -> str:
        """Say the share with the orders it rests on."""
        if self.share is None:
            return "no order whose first promised day has passed"
        band = f"{100 * self.low:.0f} to {100 * self.high:.0f} %"
        return f"{self.kept} of {self.due} orders, {100 * self.share:.0f} % (95 % band {band})"


def on_time(orders: Iterable[PastOrder]) -> OnTime:
    """Count the orders here by the day first promised, among those that were here by it or still out after it.

    An open order whose day lies ahead says nothing yet and is not counted.
    """
    from scipy.stats import binomtest

    kept = due = 0
    for order in orders:
        in_time = order.arrived and order.days_late <= 0
        kept += in_time
        due += in_time or order.days_late > 0
    if not due:
        return OnTime(0, 0, 0.0, 1.0)
    band = binomtest(kept, due).proportion_ci(method="wilson")
    return OnTime(due, kept, float(band.low), float(band.high))


@dataclass(frozen=True)
class _Prediction:
    """Chance of being still out, from one set of orders: straight between `days`, an exponential tail after `last`."""

    days: Shares
    share: Shares
    last: float
    mean: float

    def still_out(self, at: ArrayLike) -> Shares:
        import numpy as np

        at = np.asarray(at, dtype=float)
        return np.interp(at, self.days, self.share) * np.exp(-np.maximum(at - self.last, 0) / self.mean)


def _predict(orders: Sequence[PastOrder], mean_without_record: float) -> _Prediction:
    import numpy as np
    from scipy.stats import CensoredData, ecdf

    ended = [order.days_late for order in orders if order.arrived]
    still_open = [order.days_late for order in orders if not order.arrived]
    if not ended:
        return _Prediction(np.array([0.0]), np.array([1.0]), 0.0, mean_without_record)
    last = max([*ended, *still_open])
    # The order asked about: open after every other has ended.
    survival = ecdf(CensoredData(uncensored=ended, right=[*still_open, last + 1])).sf
    arrivals, count = np.unique(ended, return_counts=True)
    after = survival.evaluate(arrivals)
    days, share = _gaps(arrivals, count, after)
    return _Prediction(days, share, float(last), _mean_late(orders) or mean_without_record)


def _gaps(arrivals: Days, count: Days, after: Shares) -> tuple[Shares, Shares]:
    """Spread the chance of one arrival evenly over the days since the arrival before; the rest of a tie stays put.

    Without it a record of ten orders could only ever answer with one of ten days, and its 80 % would be 90 %.
    """
    import numpy as np

    before = np.concatenate([[1.0], after[:-1]])
    since = np.concatenate([[arrivals[0] - 1], arrivals[:-1]])
    eve = arrivals - 1e-6
    days = np.column_stack([since, eve, arrivals]).ravel()
    share = np.column_stack([before, before - (before - after) / count, after]).ravel()
    return days, share


def _mean_late(orders: Iterable[PastOrder]) -> float | None:
    """Total days late over late arrivals: the mean of an exponential law fitted to them with the open ones censored."""
    late = [order for order in orders if order.days_late > 0]
    arrivals = sum(order.arrived for order in late)
    return sum(order.days_late for order in late) / arrivals if arrivals else None


@dataclass(frozen=True)
class Record:
    """What is known of one supplier: its own orders, those of all suppliers, and how much each of the two weighs."""

    own: tuple[PastOrder, ...]
    everybody: tuple[PastOrder, ...]

    @property
    def arrived(self) -> int:
        return sum(order.arrived for order in self.own)

    @property
    def own_weight(self) -> float:
        """Weight of the supplier's own curve, 0 to 1; the rest is everybody's."""
        return min(1.0, self.arrived / OWN_RECORD_FROM)

    @property
    def grounds(self) -> str:
        """Say in one sentence what a prediction from this record rests on."""
        open_now = len(self.own) - self.arrived
        words = f"Rests on {self.arrived} arrived and {open_now} open or cancelled orders of this supplier"
        if self.own_weight == 1:
            return f"{words} alone."
        share = round(100 * (1 - self.own_weight))
        return f"{words}, and for {share} % on the {len(self.everybody)} orders of all suppliers."

    def wait(self, days_late: int = 0) -> Wait:
        """Return the time still to wait for an order that is `days_late` past its first promise and not here.

        `days_late` is negative while the first promise lies ahead. The result is conditional on the wait so far:
        P(wait > x) = S(days_late + x) / S(days_late).
        """
        import numpy as np

        pool = _predict(self.everybody, TAIL_DAYS_WITHOUT_RECORD)
        own = _predict(self.own, pool.mean)
        weight = self.own_weight
        end = max(own.last, pool.last, days_late) + TAIL_LENGTHS * max(own.mean, pool.mean)
        days = np.arange(1, int(np.ceil(end)) - days_late + 1)
        mixed = [weight * own.still_out(at) + (1 - weight) * pool.still_out(at) for at in (days_late + days, days_late)]
        return Wait(days, np.clip(mixed[0] / mixed[1], 0.0, 1.0))


@dataclass(frozen=True)
class Wait:
    """The days still to wait: after each of `days` (1, 2, …) from today, the chance that it is still not here."""

    days: Days
    still_out: Shares

    def within(self, chance: float) -> int:
        """Return the days within which it arrives with `chance` (0.5: the median; 0.8: four times in five)."""
        import numpy as np

        if not 0 < chance < 1:
            raise ValueError(f"a chance between 0 and 1 is needed, not {chance}")
        reached = np.flatnonzero(self.still_out <= 1 - chance + 1e-12)
        return int(self.days[reached[0] if len(reached) else -1])

    @property
    def median(self) -> int:
        return self.within(0.5)

    @property
    def four_in_five(self) -> int:
        return self.within(0.8)

    def draw(self, count: int, rng: np.random.Generator, not_before: int = 1) -> Days:
        """Draw `count` waits in days; none shorter than `not_before`, the soonest day the supplier still names."""
        import numpy as np

        at = np.searchsorted(1 - self.still_out, rng.random(count), side="right")
        return np.maximum(self.days[np.minimum(at, len(self.days) - 1)], not_before)
