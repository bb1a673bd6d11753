"""Keep waiting, or buy elsewhere: what each way costs in days, in money and in the job's finish. The buyer decides.

Nothing here says which way is right; it sets the grounds side by side, with what they take for granted.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

from django.utils.translation import gettext, ngettext

from shop.base.language import gettext_lazy
from shop.base.money import in_money, to_cents
from shop.orders.supplier_record import Record
from shop.planning.finish_forecast import FinishDays, Forecast
from specs.phrase import listed

if TYPE_CHECKING:
    import numpy as np

    from shop.planning.network import Minutes

ASSUMPTIONS = (
    gettext_lazy(
        "The wait so far is taken into account: of like orders that were still out after so many days, the record says "
        "how much longer the rest took."
    ),
    gettext_lazy(
        "The other supplier's stated lead time is counted as its first promise, and it keeps it as it kept the others."
    ),
    gettext_lazy("The order elsewhere is placed today."),
    gettext_lazy("The bay is blocked from today until the job is done, and costs the same every calendar day."),
    gettext_lazy("The part bought elsewhere fits and does as well as the one ordered."),
    gettext_lazy(
        "Money not got back (deposit, restocking) is lost in full; what is paid so far and comes back is not counted."
    ),
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

    @property
    def known_days(self) -> int:
        """Return the days from today up to which the record, or the supplier's own new date, reaches."""
        return max(self.record.wait(self.days_late).known_days, self.not_before)


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
    def known_days(self) -> int:
        """Return the days from today up to which the record reaches."""
        return self.record.wait(-self.lead_days).known_days

    @property
    def extra_cost(self) -> Decimal:
        """What this way costs beyond waiting."""
        return self.price_difference + self.restocking + self.deposit_lost


@dataclass(frozen=True)
class Way:
    """One way, worked out: the day it is here by (half the time, four times in five), and the job's finish likewise.

    A day is None where no record says: it is here later than `here_later_than`; the job is done by `finish_known_to`
    in `finish_known_percent` of 100 draws; nothing is known of the others. The finish is None
    throughout when no job waits for the part. `expected_days` is the mean from today until the job is done, or until
    the part is here where no job waits; `at_least` says that some draws went beyond every record, so that the mean is
    more. `expected_cost` is the extra cost and the blocked bay over the expected days.
    """

    supplier: str
    here_p50: date | None
    here_p80: date | None
    here_later_than: date
    finish_p50: date | None
    finish_p80: date | None
    finish_known_to: date | None
    finish_known_percent: int | None
    extra_cost: Decimal
    expected_days: float
    expected_cost: Decimal
    at_least: bool
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
        return (gettext("Wait for"), self.waiting), (gettext("Buy from"), self.elsewhere)

    def words(self, currency: str) -> str:
        """Say what buying elsewhere changes; not what to do."""
        chance = gettext("From {supplier} it is here first in {value} of 100 runs").format(
            supplier=self.elsewhere.supplier, value=f"{100 * self.sooner:.0f}"
        )
        if self.waiting.finish_known_to is None:
            return gettext("{chance}; no job waits for it.").format(chance=chance)
        missing = [way.supplier for way in (self.waiting, self.elsewhere) if way.finish_p80 is None]
        if missing:
            return gettext(
                "{chance}; with {missing} no day is 80\u00a0% sure for the job: no record reaches so far."
            ).format(chance=chance, missing=listed(map(str, missing)))
        if not self.days_gained:
            return gettext("{chance}; the job's finish does not move.").format(chance=chance)
        days = abs(self.days_gained)
        said = (
            ngettext("{days} day sooner", "{days} days sooner", days)
            if self.days_gained > 0
            else ngettext("{days} day later", "{days} days later", days)
        )
        moved = said.format(days=days)
        price = (
            gettext(", at {in_money} without tax for each day").format(in_money=in_money(self.cost_of_a_day, currency))
            if self.cost_of_a_day
            else ""
        )
        return gettext("{chance}; at 80\u00a0% sure the job is done {moved}{price}.").format(
            chance=chance, moved=moved, price=price
        )

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
    forecast: Forecast,
    part: Hashable,
    vehicle: Hashable,
    waiting: Waiting,
    other: Elsewhere,
    rng: np.random.Generator,
    bay_cost_a_day: Decimal = Decimal(0),
) -> WaitOrBuy:
    """Set waiting for `part` beside buying it elsewhere, and what each does to `vehicle`'s finish.

    All else is drawn alike in both, so that the difference is the part's alone. `bay_cost_a_day` is what the bay costs
    the shop for each calendar day until the job is done. Raises ValueError on a negative lead time.
    """
    if other.lead_days < 0:
        raise ValueError(gettext("a lead time below 0 days is not possible"))
    draws = forecast.inputs.draws
    stay, go = wait_arrivals(waiting, draws, rng), elsewhere_arrivals(other, draws, rng)
    in_stay = forecast.with_arrival(part, stay, waiting.known_days)
    in_go = forecast.with_arrival(part, go, other.known_days)
    return WaitOrBuy(
        _way(in_stay, part, vehicle, waiting, Decimal(0), bay_cost_a_day),
        _way(in_go, part, vehicle, other, other.extra_cost, bay_cost_a_day),
        sooner=float((go < stay).mean()),
    )


def _way(
    forecast: Forecast,
    part: Hashable,
    vehicle: Hashable,
    source: Waiting | Elsewhere,
    extra_cost: Decimal,
    bay_cost_a_day: Decimal,
) -> Way:
    here = _arrival(forecast, part, source.known_days)
    finish = forecast.finishes.get(vehicle)
    last = finish or here
    days = float((last.days - _numpy_day(forecast.inputs.today)).astype(int).mean())
    return Way(
        supplier=source.supplier,
        here_p50=here.p50,
        here_p80=here.p80,
        here_later_than=here.known_to,
        finish_p50=finish.p50 if finish else None,
        finish_p80=finish.p80 if finish else None,
        finish_known_to=finish.known_to if finish else None,
        finish_known_percent=finish.known_percent if finish else None,
        extra_cost=extra_cost,
        expected_days=days,
        expected_cost=to_cents(extra_cost + (bay_cost_a_day * Decimal(days) if finish else Decimal(0))),
        at_least=not bool(last.known.all()),
        grounds=source.record.grounds,
    )


def _arrival(forecast: Forecast, part: Hashable, known_days: int) -> FinishDays:
    """Return the part's own arrival, as a finish without steps."""
    arrivals = forecast.inputs.arrivals[part]
    return FinishDays(part, _numpy_day(forecast.inputs.today) + arrivals, arrivals <= known_days)


def _numpy_day(day: date) -> np.datetime64:
    import numpy as np

    return np.datetime64(day)
