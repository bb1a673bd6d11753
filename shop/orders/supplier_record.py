"""A supplier's record: when an order will really be here, from how this supplier and all others delivered.

The clock is *days late*: from the day first promised to the day everything was here. An order that is still open, or
was cancelled, is known to be later than it was on its last day; leaving it out would flatter exactly those suppliers
who never deliver. How much a supplier's own orders weigh against everybody's is estimated in `supplier_spread`.

No date is read off beyond the latest arrival on record: where fewer than four in five are here by then, the answer is
"no date: later than …".
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext

from shop.orders.past_order import PastOrder
from shop.orders.supplier_spread import SupplierSpread

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Days = NDArray[np.int64]
    Shares = NDArray[np.float64]

DAYS_BEYOND_RECORD = 730
"""Days for which draws are followed beyond the latest arrival on record; what is left is put on the last of them."""


@dataclass(frozen=True)
class Grounds:
    """What a prediction of one supplier rests on: its own orders, and how many all suppliers have."""

    supplier: Hashable
    own: tuple[PastOrder, ...]
    order_count: int

    @property
    def arrived(self) -> int:
        return sum(order.arrived for order in self.own)

    @property
    def grounds(self) -> str:
        """Say in one sentence what a prediction from this record is drawn from."""
        open_now = len(self.own) - self.arrived
        words = gettext("From {arrived} arrived and {open_now} open or cancelled orders of this supplier").format(
            arrived=self.arrived, open_now=open_now
        )
        undated = sum(not order.was_dated for order in self.own)
        if undated:
            words += gettext(" ({undated} never given a date)").format(undated=undated)
        return gettext("{words}, within what the {order_count} orders of all suppliers make likely.").format(
            words=words, order_count=self.order_count
        )


@dataclass(frozen=True)
class Record(Grounds):
    """What is known of one supplier: its own orders among those of all, and how suppliers differ."""

    spread: SupplierSpread

    def wait(self, days_late: int = 0) -> Wait:
        """Return the time still to wait for an order that is `days_late` past its first promise and not here.

        `days_late` is negative while the first promise lies ahead. The result is conditional on the wait so far.
        """
        import numpy as np

        last = self.spread.last_arrival
        known = 0 if last is None else max(0, last - days_late)
        days = np.arange(1, known + DAYS_BEYOND_RECORD + 1)
        return Wait(days, self.spread.still_out(self.supplier, days_late + days, days_late), known)


@dataclass(frozen=True)
class Wait:
    """The days still to wait: after each of `days` (1, 2, …) from today, the chance that it is still not here.

    Up to `known_days` the chances rest on arrivals; beyond they are an assumption, good for draws but for no date.
    """

    days: Days
    still_out: Shares
    known_days: int

    def within(self, chance: float) -> int | None:
        """Return the days within which it arrives with `chance` (0.5: the median; 0.8: four times in five).

        None where the record does not reach so far: it is later than `known_days`.
        """
        import numpy as np

        if not 0 < chance < 1:
            raise ValueError(gettext("a chance between 0 and 1 is needed, not {chance}").format(chance=chance))
        reached = np.flatnonzero(self.still_out[: self.known_days] <= 1 - chance + 1e-12)
        return int(self.days[reached[0]]) if len(reached) else None

    @property
    def median(self) -> int | None:
        return self.within(0.5)

    @property
    def four_in_five(self) -> int | None:
        return self.within(0.8)

    def draw(self, count: int, rng: np.random.Generator, not_before: int = 1) -> Days:
        """Draw `count` waits in days; none shorter than `not_before`, the soonest day the supplier still names."""
        import numpy as np

        at = np.searchsorted(1 - self.still_out, rng.random(count), side="right")
        return np.maximum(self.days[np.minimum(at, len(self.days) - 1)], not_before)
