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
    return [_piece(run, *values) for values in zip(range(len(at)), at, hands, longest, longest_step, strict=True)]


def _piece(run: Run, draw: int, root: int, hands: int, longest: int, longest_step: int) -> tuple[str, Hashable]:
    part = root - len(run.steps)
    if part >= 0 and run.usable_from[part, draw] >= max(hands, longest):
        return PART, run.parts[part]
    if hands > longest:
        return HANDS, run.steps[longest_step].trade
    return STEP, run.steps[longest_step].key
