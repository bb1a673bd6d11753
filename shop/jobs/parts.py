"""Where the parts are: asked of whoever knows the orders, so that jobs need not know them.

The area that keeps orders stands above this one. It hands over one function at start (`tell_of_parts`); until then
a part that nobody marked as here is simply not ordered.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from shop.jobs.models import PartNeed
from shop.jobs.rules import NeedState


@dataclass(frozen=True)
class PartFact:
    """What is known of a needed part, in words that follow "waits for": "the clutch, promised 14 May, third date"."""

    state: NeedState
    words: str
    expected: date | None = None
    overdue: bool = False


Teller = Callable[[Iterable[PartNeed], date], Mapping[int, PartFact]]

_tellers: list[Teller] = []


def tell_of_parts(teller: Teller) -> None:
    """Take the function that knows the orders: needs and today in, a fact for each need it knows by primary key."""
    if teller not in _tellers:
        _tellers.append(teller)


def part_facts(needs: Iterable[PartNeed], today: date) -> dict[int, PartFact]:
    """A fact for every need: here, as the orders say, or not ordered."""
    needs = list(needs)
    known: dict[int, PartFact] = {}
    open_needs = [need for need in needs if need.here_on is None]
    for teller in _tellers if open_needs else ():
        known.update(teller(open_needs, today))
    return {need.pk: known.get(need.pk) or _without_orders(need) for need in needs}


def _without_orders(need: PartNeed) -> PartFact:
    if need.here_on is not None:
        return PartFact(NeedState.MET, f"{need}, here since {need.here_on:%d %b %Y}")
    return PartFact(NeedState.OPEN, f"{need}, not ordered yet")
