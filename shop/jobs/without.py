"""What a vehicle still offers while something is missing: pure, over one job's network of steps."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass

from shop.jobs.rules import NeedState, StepNode, in_order


@dataclass(frozen=True)
class Without:
    """What one vehicle still offers while a need stays open, each a tuple of steps in working order.

    `now` can be started at once; `then` follows by work alone; `held` needs the missing thing, directly or through
    other steps; `elsewhere` waits on something else that is open (another part, a decision).
    """

    now: tuple[StepNode, ...]
    then: tuple[StepNode, ...]
    held: tuple[StepNode, ...]
    elsewhere: tuple[StepNode, ...]


def without(steps: Iterable[StepNode], missing: Hashable) -> Without:
    """Sort a vehicle's unfinished steps by what can be done if the need with key `missing` never came.

    Raises CircularNeedsError.
    """
    groups: dict[Hashable, str] = {}
    piles: dict[str, list[StepNode]] = {"now": [], "then": [], "held": [], "elsewhere": []}
    for step in in_order(steps):
        if not step.done:
            groups[step.key] = _pile(step, missing, groups)
            piles[groups[step.key]].append(step)
    return Without(*(tuple(piles[name]) for name in ("now", "then", "held", "elsewhere")))


def _pile(step: StepNode, missing: Hashable, groups: Mapping[Hashable, str]) -> str:
    # A needed step that stands in no group is done.
    before = {groups[key] for key in step.after if key in groups}
    unmet = {need.key for need in step.needs if need.state is not NeedState.MET}
    if missing in unmet or "held" in before:
        return "held"
    if unmet or "elsewhere" in before:
        return "elsewhere"
    return "then" if before else "now"
