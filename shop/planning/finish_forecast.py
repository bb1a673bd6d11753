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
from typing import TYPE_CHECKING, Any

from shop.planning.critical_chain import largest_pieces
from shop.planning.network import Run, Shop, WorkItem, run
from shop.planning.work_calendar import WorkCalendar

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from shop.planning.network import Minutes

ASSUMPTIONS = (
    "A part can be used from the working day after it arrives.",
    "Parts arrive independently of one another, each as its supplier's record says, given the wait so far.",
    "Vehicles get hands in the order listed; the gaps while one waits are filled with the next.",
    "Steps overrun independently of one another, each as a finished step picked at random did.",
    "Each step is worked by one person at a time; hours within a day are shared freely.",
)
"""What a forecast takes for granted, to be shown beside it."""


@dataclass(frozen=True)
class ForecastInputs:
    """All that a forecast is made from.

    `arrivals` gives for each part not yet here the days from `today` until it arrives, one per draw (shape (draws,)).
    `minutes`, shape (steps, draws), are the minutes left of each step where they are not certain.
    """

    today: date
    steps: Sequence[WorkItem]
    shop: Shop
    calendar: WorkCalendar
    arrivals: Mapping[Any, Minutes] = field(default_factory=dict)
    minutes: Minutes | None = None
    draws: int = 1000


@dataclass(frozen=True)
class Decider:
    """The largest piece of the chain that ends with the finish, and the share of draws in which it is the largest.

    `kind` and `key` as in `chain.largest_pieces`.
    """

    kind: str
    key: Any
    share: float


@dataclass(frozen=True)
class Finish:
    """One vehicle's forecast. `days` are the days of finish, one per draw, as numpy days."""

    vehicle: Any
    days: NDArray[np.datetime64]
    deciders: tuple[Decider, ...]

    def by(self, chance: float) -> date:
        """Return the day by which the vehicle is done in the share `chance` of the draws."""
        import numpy as np

        return np.sort(self.days)[max(0, int(np.ceil(chance * len(self.days) - 1e-9)) - 1)].item()

    @property
    def p50(self) -> date:
        return self.by(0.5)

    @property
    def p80(self) -> date:
        return self.by(0.8)


class Forecast:
    """The forecast of a inputs, worked out when first asked for."""

    def __init__(self, inputs: ForecastInputs) -> None:
        self.inputs = inputs

    @cached_property
    def finishes(self) -> dict[Hashable, Finish]:
        """Return each vehicle's finish, in the order in which the vehicles are served."""
        import numpy as np

        inputs, result = self.inputs, self._run
        rows: dict[Hashable, list[int]] = {}
        for n, step in enumerate(inputs.steps):
            rows.setdefault(step.vehicle, []).append(n)
        found = {}
        for vehicle, its in rows.items():
            last = np.array(its)[result.finish[its].argmax(axis=0)]
            # A finish at the very end of a day belongs to that day, not to the next morning.
            day = (result.finish[last, np.arange(inputs.draws)] - 1).clip(min=0) // inputs.shop.day
            found[vehicle] = Finish(vehicle, self._worked_days[day], _deciders(largest_pieces(result, last)))
        return found

    def with_part_sooner(self, part: Hashable, days: int = 7) -> Forecast:
        """Return the forecast if `part` came `days` sooner in every draw, though not before today."""
        import numpy as np

        sooner = np.maximum(self.inputs.arrivals[part] - days, 0)
        return self.with_arrival(part, sooner)

    def with_arrival(self, part: Hashable, arrival: Minutes) -> Forecast:
        """Return the forecast if `part` arrived after the days in `arrival`, all else drawn alike."""
        return Forecast(replace(self.inputs, arrivals={**self.inputs.arrivals, part: arrival}))

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


def _deciders(pieces: Sequence[tuple[str, Hashable]]) -> tuple[Decider, ...]:
    return tuple(Decider(*piece, count / len(pieces)) for piece, count in Counter(pieces).most_common())
