"""What decides a finish: each draw's chain of steps is followed back from the last one to where it began."""

from __future__ import annotations

from collections.abc import Hashable
from typing import TYPE_CHECKING

from shop.planning.network import NOTHING, Run

if TYPE_CHECKING:
    from shop.planning.network import Minutes

PART = "part"
STEP = "step"
HANDS = "hands"


def largest_pieces(run: Run, last: Minutes) -> list[tuple[str, Hashable]]:
    """Return the largest piece of each draw's chain that ends with the step in row `last`, shape (draws,).

    A piece is ("part", key): the wait for the part that the chain begins with; ("step", key): the work of one step;
    or ("hands", trade): all the time that the chain's steps waited for hands, with the trade of its longest step.
    """
    import numpy as np

    size, short = len(run.steps), run.short_of_hands
    at, longest_step = last.copy(), last.copy()
    hands, longest = np.zeros_like(last), np.zeros_like(last)
    active = np.arange(len(last))
    while len(active):
        row = at[active]
        hands[active] += short[row, active]
        work = run.minutes[row, active]
        longer = work > longest[active]
        longest_step[active[longer]], longest[active[longer]] = row[longer], work[longer]
        at[active] = run.decided_by[row, active]
        active = active[(at[active] != NOTHING) & (at[active] < size)]
    return _pieces(run, at, hands, longest, longest_step)


def _pieces(
    run: Run, root: Minutes, hands: Minutes, longest: Minutes, longest_step: Minutes
) -> list[tuple[str, Hashable]]:
    """Name the largest piece of each draw's chain; rows: steps, parts, steps whose hands were busy."""
    import numpy as np

    steps, parts = len(run.steps), len(run.parts)
    row = np.where(hands > longest, steps + parts + longest_step, longest_step)
    begins = np.flatnonzero(root >= steps)
    waits = run.usable_from[root[begins] - steps, begins] >= np.maximum(hands, longest)[begins]
    row[begins[waits]] = root[begins[waits]]
    names: list[tuple[str, Hashable]] = [
        *((STEP, step.key) for step in run.steps),
        *((PART, part) for part in run.parts),
        *((HANDS, step.trade) for step in run.steps),
    ]
    return [names[one] for one in row.tolist()]
