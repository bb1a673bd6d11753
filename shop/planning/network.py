"""The shop's work as one network of steps, run over many draws at once.

How the shop is pictured, and no finer:

- Time is counted in working minutes from today's start of work; part of a day that is left over is used.
- A step is worked by one pair of hands at a time, from the moment its needs are done and its parts can be used. It may
  be laid down in the evening, or when a more urgent vehicle needs the hands, and be taken up again.
- In one day, a trade's steps together never take more than its hands have minutes. Within the day hands are shared
  freely (any such set of steps can be laid out in the day: McNaughton, Management Science 6 (1959) 1–12).
- Vehicles are served in the order given: the first takes what hands it needs, the next takes what is left, and fills
  the gaps while the first waits for a part. Within a vehicle, what most work still hangs on goes first.
"""

from __future__ import annotations

import heapq
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils.translation import gettext

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Minutes = NDArray[np.int64]

NOTHING = -1
"""In `Run.decided_by`: the step could start at once."""


@dataclass(frozen=True)
class WorkItem:
    """A step not yet done: minutes of work left, steps it needs first, parts not yet here, and the trade it needs.

    A key in `after` that is no unfinished step counts as done; a part without a draw counts as here.
    """

    key: Hashable
    vehicle: Hashable
    minutes: int
    after: tuple[Hashable, ...] = ()
    parts: tuple[Hashable, ...] = ()
    trade: str = "fitter"


@dataclass(frozen=True)
class Shop:
    """Hands by trade, and the minutes one pair of hands works in a day."""

    hands: Mapping[str, int]
    day: int = 480


@dataclass(frozen=True)
class Run:
    """What came of it, per step (row) and draw (column).

    `start` is when a step's needs are met and `finish` when it is done, in working minutes; `minutes` is its work, the
    rest between the two was lost to busy hands. `decided_by` is what a step last waited for: the row of another step,
    or `len(steps) + n` for the n-th of `parts`, or NOTHING. `usable_from` has a row for each part.
    """

    steps: tuple[WorkItem, ...]
    parts: tuple[Hashable, ...]
    minutes: Minutes
    start: Minutes
    finish: Minutes
    decided_by: Minutes
    usable_from: Minutes

    @property
    def short_of_hands(self) -> Minutes:
        """Working minutes that each step lost to busy hands."""
        return self.finish - self.start - self.minutes


class NoHandsError(ValueError):
    """A step needs a trade of which the shop has no hands."""


def work_hanging(steps: Sequence[WorkItem]) -> dict[Hashable, int]:
    """Return for each step, by its key, the minutes of the longest chain that starts with it. Raises ValueError on
    circular needs.
    """
    return dict(zip((step.key for step in steps), _work_hanging_on(steps, *_links(steps)), strict=True))


def _links(steps: Sequence[WorkItem]) -> tuple[list[list[int]], list[list[int]]]:
    """The rows that each step needs first, and the rows of those that need it."""
    row = {step.key: n for n, step in enumerate(steps)}
    needed = [[row[key] for key in step.after if key in row] for step in steps]
    followers: list[list[int]] = [[] for _ in steps]
    for n, before in enumerate(needed):
        for m in before:
            followers[m].append(n)
    return needed, followers


def serving_order(steps: Sequence[WorkItem]) -> list[int]:
    """Return the rows of `steps` as they are given hands: every step after all it needs, urgent vehicles first.

    A vehicle is the more urgent the earlier it appears in `steps`. Raises ValueError on circular needs.
    """
    needed, followers = _links(steps)
    rank: dict[Hashable, int] = {}
    for step in steps:
        rank.setdefault(step.vehicle, len(rank))
    hanging = _work_hanging_on(steps, needed, followers)
    return _topological(needed, followers, [(rank[step.vehicle], -hanging[n], n) for n, step in enumerate(steps)])


def _topological(needed: list[list[int]], followers: list[list[int]], urgency: Sequence[tuple[int, ...]]) -> list[int]:
    waiting_for = [len(before) for before in needed]
    free = [urgency[n] + (n,) for n, count in enumerate(waiting_for) if not count]
    heapq.heapify(free)
    order = []
    while free:
        n = heapq.heappop(free)[-1]
        order.append(n)
        for m in followers[n]:
            waiting_for[m] -= 1
            if not waiting_for[m]:
                heapq.heappush(free, urgency[m] + (m,))
    if len(order) < len(needed):
        raise ValueError(gettext("steps that wait for one another for ever have no finish"))
    return order


def _work_hanging_on(steps: Sequence[WorkItem], needed: list[list[int]], followers: list[list[int]]) -> list[int]:
    """Return for each step the minutes of the longest chain that starts with it."""
    plain = _topological(needed, followers, [(0,)] * len(steps))
    hanging = [0] * len(steps)
    for n in reversed(plain):
        hanging[n] = steps[n].minutes + max((hanging[m] for m in followers[n]), default=0)
    return hanging


def run(
    steps: Sequence[WorkItem],
    shop: Shop,
    usable_from: Mapping[Hashable, Minutes],
    draws: int,
    minutes: Minutes | None = None,
) -> Run:
    """Work the steps off in every draw at once.

    `usable_from` gives for each part not yet here the working minute from which it can be used, one per draw.
    `minutes`, of shape (steps, draws), overrides each step's own; otherwise they are the same in every draw.
    Raises ValueError on circular needs, NoHandsError where nobody can do a step.
    """
    import numpy as np

    _check_hands(steps, shop)
    if minutes is None:
        minutes = np.repeat(np.array([[step.minutes] for step in steps], dtype=np.int64).reshape(-1, 1), draws, axis=1)
    parts = tuple(usable_from)
    row = {step.key: n for n, step in enumerate(steps)} | {part: len(steps) + n for n, part in enumerate(parts)}
    horizon = _horizon(minutes, usable_from.values(), shop.day)
    trades = {step.trade for step in steps} & shop.hands.keys()
    days = {trade: _Days(shop.day, shop.hands[trade], horizon, draws) for trade in trades}
    ends: dict[Hashable, Minutes] = dict(usable_from)
    start, finish, decided = (np.zeros((len(steps), draws), dtype=np.int64) for _ in range(3))
    for n in serving_order(steps):
        step = steps[n]
        needs = [(row[key], ends[key]) for key in (*step.after, *step.parts) if key in ends]
        start[n], decided[n] = _latest(needs, draws)
        finish[n] = days[step.trade].work(start[n], minutes[n]) if minutes[n].any() else start[n]
        ends[step.key] = finish[n]
    usable = np.array([usable_from[part] for part in parts], dtype=np.int64).reshape(len(parts), draws)
    return Run(tuple(steps), parts, minutes, start, finish, decided, usable)


def _check_hands(steps: Iterable[WorkItem], shop: Shop) -> None:
    for step in steps:
        if step.minutes and shop.hands.get(step.trade, 0) < 1:
            raise NoHandsError(gettext("nobody in the shop works as {trade}").format(trade=step.trade))


def _horizon(minutes: Minutes, usable_from: Iterable[Minutes], day: int) -> int:
    """Return days enough for all work: once the last part is here, each day sees at least one pair of hands busy."""
    worst = int(minutes.sum(axis=0).max(initial=0)) + max((int(at.max()) for at in usable_from), default=0)
    return worst // day + 3


def _latest(needs: Sequence[tuple[int, Minutes]], draws: int) -> tuple[Minutes, Minutes]:
    """Return for each draw when the last of the needs is met, and the row of that need."""
    import numpy as np

    start, decided = np.zeros(draws, dtype=np.int64), np.full(draws, NOTHING, dtype=np.int64)
    for source, ends in needs:
        later = ends > start
        np.copyto(decided, source, where=later)
        np.maximum(start, ends, out=start)
    return start, decided


class _Days:
    """What one trade's hands have left, per day and draw. The only state that changes while a network is run."""

    def __init__(self, day: int, hands: int, horizon: int, draws: int) -> None:
        import numpy as np

        self.day, self.whole, self.draws = day, day * hands, draws
        # Half as wide where it is wide enough: these are by far the largest arrays of a forecast.
        width = np.int32 if max(horizon * draws, horizon * day, day * hands) < 2**31 - draws else np.int64
        # Zeros, both: the system hands them out as they are needed, and most days of most draws never are.
        self.taken = np.zeros(horizon * draws, dtype=width)
        # Of each slot (day × draws + draw) how far the next is that may have minutes left: 0 until it is full. Followed
        # like a chain, and shortened on the way, so that a vehicle late in the queue does not walk over months of full
        # days.
        self.further = np.zeros(horizon * draws, dtype=width)

    def work(self, start: Minutes, minutes: Minutes) -> Minutes:
        """Take `minutes` from the days from `start` on, in every draw; return when each is finished."""
        import numpy as np

        end = start.copy()
        active = np.flatnonzero(minutes)
        now, to_do = start[active], minutes[active]
        while len(active):
            slot = self._free_day(now // self.day, active)
            evening = (slot // self.draws + 1) * self.day
            now = np.maximum(now, evening - self.day)
            taken = self.taken[slot]
            spent = np.minimum(np.minimum(to_do, self.whole - taken), evening - now)
            taken = taken + spent
            self.taken[slot] = taken
            self.further[slot[taken == self.whole]] = self.draws
            to_do -= spent
            done = to_do == 0
            end[active[done]] = (now + spent)[done]
            going_on = ~done
            active, to_do, now = active[going_on], to_do[going_on], evening[going_on]
        return end

    def _free_day(self, wanted: Minutes, active: Minutes) -> Minutes:
        """Return the slots of the first days from `wanted` on that have minutes left."""
        asked = wanted * self.draws + active
        slot = asked + self.further[asked]
        while (further := self.further[slot]).any():
            slot = slot + further
        self.further[asked] = slot - asked
        return slot
