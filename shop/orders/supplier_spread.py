"""How much suppliers differ, estimated from all their orders, and what one supplier's own orders say about it.

Every supplier has a *pace* θ: its orders arrive at θ times the common rate, S(t | θ) = exp(−θ Λ(t)), where t counts
days late by the first promise. Λ is the common cumulative rate, and θ varies between suppliers: the shared frailty
(Clayton, Biometrika 65 (1978) 141–151; Vaupel, Manton and Stallard, Demography 16 (1979) 439–454). Both are estimated
from the shop's own orders by empirical Bayes, with expectation and maximisation in turn (Klein, Biometrics 48 (1992)
795–806, there for gamma frailties):

- the chances of the paces of supplier j after its own orders, w_jk ∝ π_k θ_k^D_j exp(−θ_k L_j), where D_j of its orders
  arrived and L_j = Σ Λ(t) over *all* of them, the open ones included: an order that is 100 days late and still open
  speaks for a slow supplier as much as one that arrived so late;
- the shares of the paces π_k = (Σ_j w_jk + BROAD_SUPPLIERS · b_k) / (J + BROAD_SUPPLIERS) on a fixed grid (Laird,
  J. Am. Stat. Assoc. 73 (1978) 805–811), where b is one broad guess: with few suppliers the spread is not known yet. No
  form is assumed for π: it may be one hump, or many good suppliers and a few bad ones;
- the rate dΛ = Σ 1 / (θ̄ (n − k + ½)), k = 0 … d − 1, for d arrivals on one day among n orders still out, whose mean
  expected pace is θ̄ (Breslow; ties after Efron, J. Am. Stat. Assoc. 72 (1977) 557–565). The ½ stands for the order
  asked about: with n orders of one pace, exp(−Λ) after the last of them is then 1/(n + 1) within 4 %, as it is for any
  law (of n + 1 alike orders the next is the latest with that chance).

The rate of the last arrivals goes on after them as arrivals over pace × days of all late orders (exponential). It says
how slow a supplier is whose orders are out longer than any that came; no date is read off it.

So the pull of a supplier towards the others is not set by hand: it is weak where suppliers differ much, strong where
they are alike, and fades with the orders that a supplier has, arrived or open.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shop.orders.past_order import PastOrder

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Numbers = NDArray[np.float64]

Alike = Counter[tuple[int, bool]]
"""How many orders ended so many days late, arrived or not."""

LEAST_PACE, GREATEST_PACE, PACES = 1 / 55, 55.0, 41
"""The grid of paces, in equal steps of the logarithm. Wider than any two suppliers of one shop are likely to differ."""

BROAD_SUPPLIERS = 1.0
"""How many suppliers the broad guess counts for. An assumption, no source."""

BROAD_SPREAD = 1.0
"""Standard deviation of ln θ in the broad guess: two suppliers in three within a factor e. An assumption, no source."""

ORDER_ASKED_ABOUT = 0.5
EVE = 1e-6
ROUNDS = 60
CLOSE_ENOUGH = 1e-3

TAIL_DAYS_WITHOUT_RECORD = 14.0
"""Mean further wait, in days, where no order of anybody ever came late. Only draws use it; no date rests on it."""


@dataclass(frozen=True)
class SupplierSpread:
    """The common rate, the shares of the paces, and each supplier's chances of them.

    `days` and `rate` are corners of Λ, straight in between; beyond the last it rises by `tail` a day. `last_arrival` is
    the latest day late on which any order arrived: the record knows nothing beyond it.
    """

    days: Numbers
    rate: Numbers
    tail: float
    paces: Numbers
    shares: Numbers
    by_supplier: Mapping[Hashable, Numbers]

    @property
    def last_arrival(self) -> int | None:
        return int(self.days[-1]) if len(self.days) > 1 else None

    def chances(self, supplier: Hashable) -> Numbers:
        """Return the chance of each pace; of a supplier without orders those of any supplier."""
        return self.by_supplier.get(supplier, self.shares)

    def pace(self, supplier: Hashable) -> float:
        """Return the expected pace of a supplier; 0.5 means twice as long out as the common rate says."""
        return float(self.chances(supplier) @ self.paces)

    def still_out(self, supplier: Hashable, days_late: ArrayLike, since: float) -> Numbers:
        """Return the chance that an order is out after `days_late`, given that it was out after `since` days late.

        The supplier's chances have taken in the order's own wait where it is among its orders.
        """
        import numpy as np

        more = self._cumulative(days_late) - self._cumulative(since)
        shares = np.exp(-np.multiply.outer(np.maximum(more, 0), self.paces)) @ self.chances(supplier)
        return np.minimum(shares, 1.0)

    def _cumulative(self, days_late: ArrayLike) -> Numbers:
        return _rate_at(self.days, self.rate, days_late) + self.tail * _beyond(self.days, days_late)


def alike(orders: Iterable[PastOrder]) -> Alike:
    """Count the orders that ended alike."""
    return Counter((order.days_late, order.arrived) for order in orders)


def fit_spread(orders: Mapping[Any, Iterable[PastOrder]]) -> SupplierSpread:
    """Estimate the spread of suppliers from all their orders, by supplier. Formulas as at the head of this file."""
    return fit_alike({key: alike(of_one) for key, of_one in orders.items()})


def fit_alike(orders: Mapping[Any, Alike]) -> SupplierSpread:
    """As `fit_spread`, of orders counted: a hundred thousand orders end in some thousand ways."""
    import numpy as np

    suppliers = [key for key, of_one in orders.items() if of_one]
    rows = [(*ended, n, count) for n, key in enumerate(suppliers) for ended, count in orders[key].items()]
    paces = np.geomspace(LEAST_PACE, GREATEST_PACE, PACES)
    broad = np.exp(-0.5 * (np.log(paces) / BROAD_SPREAD) ** 2)
    broad /= broad.sum()
    if not any(arrived for _, arrived, *_ in rows):
        nothing = np.array([0.0])
        return SupplierSpread(nothing, nothing, 1 / TAIL_DAYS_WITHOUT_RECORD, paces, broad, {})
    late, arrived, of, counts = (np.array(column) for column in zip(*sorted(rows), strict=True))
    fit = _Fit(late.astype(float), arrived.astype(bool), of.astype(int), counts.astype(int), paces, broad)
    fit.settle(len(suppliers))
    chances = dict(zip(suppliers, fit.chances, strict=True))
    return SupplierSpread(fit.days, fit.rate, fit.tail(), paces, fit.shares, chances)


class _Fit:
    """The two steps in turn, over orders sorted by days late. The one state that changes in a fit.

    A row is all orders of one supplier that ended alike, and `orders` how many they are.
    """

    def __init__(
        self,
        late: Numbers,
        arrived: NDArray[np.bool_],
        of: NDArray[np.int64],
        orders: NDArray[np.int64],
        *grid: Numbers,
    ) -> None:
        import numpy as np

        self.late, self.arrived, self.of, self.orders = late, arrived, of, orders
        self.paces, self.broad = grid
        self.arrival_days, day = np.unique(late[arrived], return_inverse=True)
        self.count = np.bincount(day, weights=orders[arrived]).astype(int)
        self.first_out = np.searchsorted(late, self.arrival_days)
        self.out = np.cumsum(orders[::-1])[::-1][self.first_out]
        harmonic = np.concatenate([[0.0], np.cumsum(1 / (np.arange(1, orders.sum() + 1) + ORDER_ASKED_ABOUT))])
        self.ties = harmonic[self.out] - harmonic[self.out - self.count]
        # Of the arrivals of one day the chance of one is spread over the days since the arrival before: else a record
        # of ten orders could only ever answer with one of ten days.
        since = np.concatenate([[self.arrival_days[0] - 1], self.arrival_days[:-1]])
        self.days = np.column_stack([since, self.arrival_days - EVE, self.arrival_days]).ravel()
        self.shares = self.broad

    def settle(self, suppliers: int) -> None:
        """Repeat both steps until no supplier's pace moves by more than a thousandth."""
        import numpy as np

        arrivals = np.bincount(self.of, weights=self.orders * self.arrived, minlength=suppliers)
        self.pace = np.ones(suppliers)
        for _ in range(ROUNDS):
            self._estimate_rate()
            exposure = np.bincount(self.of, weights=self.orders * self._cumulative(), minlength=suppliers)
            weight = np.log(self.shares) + np.outer(arrivals, np.log(self.paces)) - np.outer(exposure, self.paces)
            chances = np.exp(weight - weight.max(axis=1, keepdims=True))
            self.chances = chances / chances.sum(axis=1, keepdims=True)
            self.shares = (self.chances.sum(axis=0) + BROAD_SUPPLIERS * self.broad) / (suppliers + BROAD_SUPPLIERS)
            # Only the product of pace and rate is observed: the mean pace of the suppliers is set to 1.
            expected = self.chances @ self.paces
            before, self.pace = self.pace, expected / expected.mean()
            if np.abs(np.log(self.pace / before)).max() < CLOSE_ENOUGH:
                break

    def _estimate_rate(self) -> None:
        import numpy as np

        paces = self.orders * self.pace[self.of]
        mean_pace = np.cumsum(paces[::-1])[::-1][self.first_out] / self.out
        after = np.cumsum(self.ties / mean_pace)
        before = np.concatenate([[0.0], after[:-1]])
        one = 1 / (mean_pace * (self.out + ORDER_ASKED_ABOUT))
        self.rate = np.column_stack([before, before + one, after]).ravel()

    def _cumulative(self) -> Numbers:
        """Return Λ for an order of every row: for arrivals of one day the mean over the day, one after another."""
        import numpy as np

        evening = _rate_at(self.days, self.rate, self.late) + self.tail() * _beyond(self.days, self.late)
        day = np.minimum(np.searchsorted(self.arrival_days, self.late), len(self.count) - 1)
        since = np.concatenate([[0.0], self.rate[2::3]])[day]
        mean = since + (evening - since) * (self.count[day] + 1) / (2 * self.count[day])
        return np.where(self.arrived, mean, evening)

    def tail(self) -> float:
        """Return arrivals over pace × days, both of late orders only: a constant rate fitted to them (exponential)."""
        import numpy as np

        days = np.maximum(self.late, 0)
        arrivals = self.orders[self.arrived & (days > 0)].sum()
        exposed = float((self.orders * self.pace[self.of] * days).sum())
        return float(arrivals / exposed) if arrivals else 1 / TAIL_DAYS_WITHOUT_RECORD


def _rate_at(days: Numbers, rate: Numbers, at: ArrayLike) -> Numbers:
    import numpy as np

    return np.interp(np.asarray(at, dtype=float), days, rate)


def _beyond(days: Numbers, at: ArrayLike) -> Numbers:
    import numpy as np

    return np.maximum(np.asarray(at, dtype=float) - days[-1], 0)
