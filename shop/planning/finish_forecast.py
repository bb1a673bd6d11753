"""When will each vehicle be done: P50 and P80, what decides it, and what one part a week sooner would change.

Each draw lets every awaited part arrive on some day, taken from its supplier's record, and works the whole shop's steps
off against the hands there are (`network.run`). P80 is the day by which four draws in five are done.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from hashlib import blake2b
from typing import TYPE_CHECKING, Any

from shop.base.language import gettext_lazy
from shop.planning.critical_chain import largest_pieces
from shop.planning.kept_finishes import kept
from shop.planning.network import Run, Shop, WorkItem, run
from shop.planning.work_calendar import WorkCalendar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from shop.planning.network import Minutes

ASSUMPTIONS = (
    gettext_lazy("A part can be used from the working day after it arrives."),
    gettext_lazy(
        "Parts arrive independently of one another, each as its supplier's record says, given the wait so far."
    ),
    gettext_lazy("Vehicles get hands in the order listed; the gaps while one waits are filled with the next."),
    gettext_lazy(
        "Steps of one vehicle overrun together as far as those of earlier vehicles did; the rest is each step's own."
    ),
    gettext_lazy("Each step is worked by one person at a time; hours within a day are shared freely."),
)
"""What a forecast takes for granted, to be shown beside it."""


@dataclass(frozen=True)
class ForecastInputs:
    """All that a forecast is made from.

    `arrivals` gives for each part not yet here the days from `today` until it arrives, one per draw (shape (draws,)).
    `minutes`, shape (steps, draws), are the minutes left of each step where they are not certain. `known_days` gives
    the days from `today` up to which a part's arrivals rest on a record; a part that is not in it is known throughout.
    """

    today: date
    steps: Sequence[WorkItem]
    shop: Shop
    calendar: WorkCalendar
    arrivals: Mapping[Any, Minutes] = field(default_factory=dict)
    minutes: Minutes | None = None
    draws: int = 1000
    known_days: Mapping[Any, int] = field(default_factory=dict)

    @property
    def fingerprint(self) -> bytes:
        """A digest of all of it: of two inputs that have the same one, a forecast is the same."""
        plain = self.today, tuple(self.steps), self.shop, self.calendar, self.draws, tuple(self.known_days.items())
        digest = blake2b(repr(plain).encode(), digest_size=16)
        for key, drawn in (*self.arrivals.items(), ("minutes", self.minutes)):
            digest.update(repr((key, None if drawn is None else (drawn.shape, drawn.dtype.str))).encode())
            digest.update(b"" if drawn is None else drawn.tobytes())
        return digest.digest()


@dataclass(frozen=True)
class Decider:
    """The largest piece of the chain that ends with the finish, and the share of draws in which it is the largest.

    `kind` and `key` as in `chain.largest_pieces`.
    """

    kind: str
    key: Any
    share: float


@dataclass(frozen=True)
class FinishDays:
    """When one vehicle is done. `days` are the days of finish, one per draw, as numpy days.

    `known`, one per draw, is False where a part came later than any order on record: then only "later" is known.
    """

    vehicle: Any
    days: NDArray[np.datetime64]
    known: NDArray[np.bool_]

    def by(self, chance: float) -> date | None:
        """Return the day by which the vehicle is done in the share `chance` of the draws; None where no record says."""
        import numpy as np

        rank = max(0, int(np.ceil(chance * len(self.days) - 1e-9)) - 1)
        days = np.sort(self.days[self.known])
        return days[rank].item() if rank < len(days) else None

    @property
    def p50(self) -> date | None:
        return self.by(0.5)

    @property
    def p80(self) -> date | None:
        return self.by(0.8)

    @property
    def known_to(self) -> date:
        """Return the last day that the records reach. What comes later than a record may finish before it or after."""
        return (self.days[self.known].max() if self.known.any() else self.days.min()).item()

    @property
    def known_share(self) -> float:
        """Return the share of draws that rest on the records throughout, each done by `known_to`."""
        return float(self.known.mean())

    @property
    def known_percent(self) -> int:
        """`known_share` in whole per cent, rounded down: never 80 where no P80 is known."""
        return int(100 * self.known_share + 1e-9)


@dataclass(frozen=True)
class Finish(FinishDays):
    """One vehicle's forecast: when it is done, and what decides that."""

    deciders: tuple[Decider, ...]


class Forecast:
    """The forecast of its inputs, worked out when first asked for."""

    def __init__(self, inputs: ForecastInputs) -> None:
        self.inputs = inputs

    @cached_property
    def finishes(self) -> Mapping[Hashable, Finish]:
        """Return each vehicle's finish, in the order in which the vehicles are served."""
        return kept(self.inputs.fingerprint, self._finishes)

    def days_of(self, vehicle: Hashable) -> FinishDays:
        """Return when one vehicle is done, without what decides it, as `finishes` has it.

        Vehicles that are served after it take what hands it leaves: their work is left out.
        """
        before = self.up_to(vehicle)
        return kept(before.key_of(vehicle), lambda: before._days(vehicle))

    def key_of(self, vehicle: Hashable) -> bytes:
        """Return what the finish of one vehicle is kept under."""
        return self.inputs.fingerprint + repr(vehicle).encode()

    def up_to(self, vehicle: Hashable) -> Forecast:
        """Return the forecast of a vehicle and those served before it.

        Of all where one of them waits for a later one, or a later one for them: what hangs on a step puts it first.
        """
        inputs = self.inputs
        served = list(dict.fromkeys(step.vehicle for step in inputs.steps))
        those = set(served[: served.index(vehicle) + 1])
        rows = [n for n, step in enumerate(inputs.steps) if step.vehicle in those]
        steps, later = [inputs.steps[n] for n in rows], [step for step in inputs.steps if step.vehicle not in those]
        if not later or _waits(steps, later) or _waits(later, steps):
            return self
        parts = {part for step in steps for part in step.parts}
        arrivals = {part: days for part, days in inputs.arrivals.items() if part in parts}
        known = {part: days for part, days in inputs.known_days.items() if part in parts}
        minutes = None if inputs.minutes is None else inputs.minutes[rows]
        return Forecast(replace(inputs, steps=steps, arrivals=arrivals, minutes=minutes, known_days=known))

    def _finishes(self) -> dict[Hashable, Finish]:
        found = {}
        for vehicle in dict.fromkeys(step.vehicle for step in self.inputs.steps):
            days, deciders = self._days(vehicle), _deciders(largest_pieces(self._run, self._last_steps(vehicle)))
            found[vehicle] = Finish(vehicle, days.days, days.known, deciders)
        return found

    def _days(self, vehicle: Hashable) -> FinishDays:
        return FinishDays(vehicle, self.last_days(vehicle), self.known(vehicle))

    def last_days(self, vehicle: Hashable) -> NDArray[np.datetime64]:
        """Return the days of a vehicle's finish, one per draw."""
        import numpy as np

        inputs, last = self.inputs, self._last_steps(vehicle)
        # A finish at the very end of a day belongs to that day, not to the next morning.
        day = (self._run.finish[last, np.arange(inputs.draws)] - 1).clip(min=0) // inputs.shop.day
        return self._worked_days[day]

    def _last_steps(self, vehicle: Hashable) -> Minutes:
        """The row of the step of a vehicle that is finished last, one per draw."""
        import numpy as np

        rows = [n for n, step in enumerate(self.inputs.steps) if step.vehicle == vehicle]
        return np.array(rows)[self._run.finish[rows].argmax(axis=0)]

    def known(self, vehicle: Hashable) -> NDArray[np.bool_]:
        """Return for each draw whether all parts of a vehicle arrive within what is on record."""
        import numpy as np

        parts = {part for step in self.inputs.steps if step.vehicle == vehicle for part in step.parts}
        arrivals, limits = self.inputs.arrivals, self.inputs.known_days
        known = np.ones(self.inputs.draws, dtype=bool)
        for part in parts:
            if part in arrivals and part in limits:
                known &= arrivals[part] <= limits[part]
        return known

    def with_part_sooner(self, part: Hashable, days: int = 7) -> Forecast:
        """Return the forecast if `part` came `days` sooner in every draw, though not before today."""
        import numpy as np

        sooner = np.maximum(self.inputs.arrivals[part] - days, 0)
        known = self.inputs.known_days.get(part)
        return self.with_arrival(part, sooner, None if known is None else max(0, known - days))

    def with_arrival(self, part: Hashable, arrival: Minutes, known_days: int | None = None) -> Forecast:
        """Return the forecast if `part` arrived after the days in `arrival`, all else drawn alike.

        Arrivals later than `known_days` are known to be later only; None: each is known.
        """
        limits = {key: days for key, days in self.inputs.known_days.items() if key != part}
        if known_days is not None:
            limits[part] = known_days
        return Forecast(replace(self.inputs, arrivals={**self.inputs.arrivals, part: arrival}, known_days=limits))

    @cached_property
    def _run(self) -> Run:
        inputs = self.inputs
        usable = self._usable_from(inputs.arrivals)
        return run(inputs.steps, inputs.shop, usable, inputs.draws, inputs.minutes)

    @cached_property
    def _worked_days(self) -> NDArray[np.datetime64]:
        last = int(self._run.finish.max(initial=0)) // self.inputs.shop.day
        return self.inputs.calendar.first_days(self.inputs.today, last + 1)

    def _usable_from(self, arrivals: Mapping[Any, Minutes]) -> dict[Hashable, Minutes]:
        import numpy as np

        today, day = np.datetime64(self.inputs.today), self.inputs.shop.day
        latest = max((int(days.max()) for days in arrivals.values()), default=0)
        worked = self.inputs.calendar.first_days(self.inputs.today, latest + 2)
        return {part: np.searchsorted(worked, today + days, side="right") * day for part, days in arrivals.items()}


def _waits(some: Sequence[WorkItem], others: Sequence[WorkItem]) -> bool:
    keys = {step.key for step in others}
    return any(not keys.isdisjoint(step.after) for step in some)


def _deciders(pieces: Sequence[tuple[str, Hashable]]) -> tuple[Decider, ...]:
    return tuple(Decider(*piece, count / len(pieces)) for piece, count in Counter(pieces).most_common())
