"""Keep waiting, or buy elsewhere: what each way costs in days, in money and in the job's finish. The buyer decides.

Nothing here says which way is right; it sets the grounds side by side, with what they take for granted.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

from shop.base.money import in_money, to_cents
from shop.orders.supplier_record import Record
from shop.planning.finish_forecast import Forecast

if TYPE_CHECKING:
    import numpy as np

    from shop.planning.network import Minutes

ASSUMPTIONS = (
    "The wait so far is taken into account: of like orders that were still out after so many days, the record says "
    "how much longer the rest took.",
    "The other supplier's stated lead time is counted as its first promise, and it keeps it as it kept the others.",
    "The order elsewhere is placed today.",
    "The part bought elsewhere fits and does as well as the one ordered.",
    "Money not got back (deposit, restocking) is lost in full; what is paid so far and comes back is not counted.",
)
"""What the comparison takes for granted, to be shown beside it."""


@dataclass(frozen=True)
class Waiting:
    """The line as it stands: its supplier's record, days past the first promise, and the soonest day still named.

    `days_late` is negative while the first promise lies ahead. `not_before` counts days from today.
    """

    supplier: str
    record: Record
    days_late: int
    not_before: int = 1


@dataclass(frozen=True)
class Elsewhere:
    """Another way to get the part: a supplier, its record and stated lead time [days], and what it costs more.

    `price_difference` may be negative; `restocking` and `deposit_lost` are what cancelling the old line costs.
    """

    supplier: str
    record: Record
    lead_days: int
    price_difference: Decimal = Decimal(0)
    restocking: Decimal = Decimal(0)
    deposit_lost: Decimal = Decimal(0)

    @property
    def extra_cost(self) -> Decimal:
        """What this way costs beyond waiting."""
        return self.price_difference + self.restocking + self.deposit_lost


@dataclass(frozen=True)
class Way:
    """One way, worked out: the day it is here by (half the time, four times in five), and the job's finish likewise.

    The finish is None when no job waits for the part.
    """

    supplier: str
    here_p50: date
    here_p80: date
    finish_p50: date | None
    finish_p80: date | None
    extra_cost: Decimal
    grounds: str


@dataclass(frozen=True)
class WaitOrBuy:
    """Waiting beside one alternative.

    `sooner` is the chance that the alternative is here first; a tie counts for waiting. `days_gained` of the job's
    P80 finish is negative when buying elsewhere makes it later.
    """

    waiting: Way
    elsewhere: Way
    sooner: float

    @property
    def days_gained(self) -> int:
        if self.waiting.finish_p80 is None or self.elsewhere.finish_p80 is None:
            return 0
        return (self.waiting.finish_p80 - self.elsewhere.finish_p80).days

    @property
    def ways(self) -> tuple[tuple[str, Way], tuple[str, Way]]:
        return ("Wait for", self.waiting), ("Buy from", self.elsewhere)

    def words(self, currency: str) -> str:
        """Say what buying elsewhere changes; not what to do."""
        chance = f"From {self.elsewhere.supplier} it is here first in {100 * self.sooner:.0f} of 100 runs"
        if self.waiting.finish_p80 is None or not self.days_gained:
            return f"{chance}; the job's finish does not move."
        days = abs(self.days_gained)
        moved = f"{days} day{'' if days == 1 else 's'} {'sooner' if self.days_gained > 0 else 'later'}"
        price = f", at {in_money(self.cost_of_a_day, currency)} without tax for each day" if self.cost_of_a_day else ""
        return f"{chance}; the job is done {moved} (P80){price}."

    @property
    def cost_of_a_day(self) -> Decimal | None:
        """Extra cost for each day of finish gained; None when no day is gained or it costs no more."""
        if self.days_gained <= 0 or self.elsewhere.extra_cost <= 0:
            return None
        return to_cents(self.elsewhere.extra_cost / self.days_gained)


def wait_arrivals(waiting: Waiting, draws: int, rng: np.random.Generator) -> Minutes:
    """Draw the days from today until a line already ordered is here."""
    return waiting.record.wait(waiting.days_late).draw(draws, rng, waiting.not_before)


def elsewhere_arrivals(other: Elsewhere, draws: int, rng: np.random.Generator) -> Minutes:
    """Draw the days from today until the part would be here from the other supplier, ordered today."""
    return other.record.wait(-other.lead_days).draw(draws, rng)


def compare(
    forecast: Forecast, part: Hashable, vehicle: Hashable, waiting: Waiting, other: Elsewhere, rng: np.random.Generator
) -> WaitOrBuy:
    """Set waiting for `part` beside buying it elsewhere, and what each does to `vehicle`'s finish.

    All else is drawn alike in both, so that the difference is the part's alone. Raises ValueError on a negative lead
    time.
    """
    if other.lead_days < 0:
        raise ValueError("a lead time below 0 days is not possible")
    draws = forecast.inputs.draws
    stay, go = wait_arrivals(waiting, draws, rng), elsewhere_arrivals(other, draws, rng)
    nothing = Decimal(0)
    return WaitOrBuy(
        _way(forecast.with_arrival(part, stay), vehicle, stay, waiting.supplier, nothing, waiting.record),
        _way(forecast.with_arrival(part, go), vehicle, go, other.supplier, other.extra_cost, other.record),
        sooner=float((go < stay).mean()),
    )


def _way(
    forecast: Forecast, vehicle: Hashable, arrivals: Minutes, supplier: str, extra_cost: Decimal, record: Record
) -> Way:
    import numpy as np

    finish = forecast.finishes.get(vehicle)
    here = np.quantile(arrivals, [0.5, 0.8], method="inverted_cdf")
    half, most = (forecast.inputs.today + timedelta(days=int(wait)) for wait in here)
    done = (finish.p50, finish.p80) if finish else (None, None)
    return Way(supplier, half, most, done[0], done[1], extra_cost, record.grounds)
