"""Where the parts of steps are: marked as here, or as their order lines say."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from shop.jobs.models import PartNeed
from shop.jobs.rules import NeedState, PartFact


def part_facts(needs: Iterable[PartNeed], today: date) -> dict[int, PartFact]:
    """Return a fact for every need, by its key: here, as its order lines say, or not ordered."""
    needs = list(needs)
    open_needs = [need for need in needs if need.here_on is None]
    # The orders are a room above this one: their lines are asked through the reverse relation.
    lines: Any = PartNeed._meta.get_field("order_lines").related_model._default_manager
    ordered = lines.part_facts(open_needs, today) if open_needs else {}
    return {need.pk: ordered.get(need.pk) or _without_order(need) for need in needs}


def _without_order(need: PartNeed) -> PartFact:
    if need.here_on is not None:
        note = f" ({need.here_note})" if need.here_note else ""
        return PartFact(NeedState.MET, f"{need}, here since {need.here_on:%d %b %Y}{note}")
    return PartFact(NeedState.OPEN, f"{need}, not ordered yet")
