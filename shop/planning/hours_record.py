"""The shop's own record of hours: what its finished steps took over what was estimated for them. Pure.

While few steps are finished, each counts 1 in 20 and the rest of the weight is on the estimate as it stands; from 20 on
the record stands alone. It is the rule that suppliers' records follow.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

    from shop.planning.network import Minutes

OWN_RECORD_FROM = 20
"""Finished steps from which the record needs no help from the estimates."""

LEAST_SHARE_LEFT = 0.1
"""A step that has taken all its hours and is not finished still takes a tenth of them. An assumption, no source."""


@dataclass(frozen=True)
class HoursRecord:
    """Hours taken over hours estimated [1] of finished steps whose hours were logged."""

    ratios: tuple[float, ...] = ()

    @property
    def drawn_from(self) -> tuple[float, ...]:
        """The ratios that a draw picks from, all alike: a 1 for every finished step that is lacking."""
        return (*self.ratios, *([1.0] * (OWN_RECORD_FROM - len(self.ratios))))

    @property
    def words(self) -> str:
        """Say what the hours left rest on."""
        count = len(self.ratios)
        if not count:
            return "Hours left are the estimate less the hours logged: no step with hours logged is finished yet."
        steps = f"{count} finished step{'' if count == 1 else 's'}"
        said = f"Hours left are drawn from the shop’s record of {steps}, which took {median(self.ratios):.2f} times"
        said += " their estimate in the middle, less the hours logged"
        if count >= OWN_RECORD_FROM:
            return f"{said}."
        return f"{said}; while fewer than {OWN_RECORD_FROM} are finished each counts 1 in {OWN_RECORD_FROM}, " + (
            "and the rest of the weight is on the estimates as they stand."
        )


def draw_minutes(
    estimated: Sequence[float], logged: Sequence[float], record: HoursRecord, draws: int, rng: np.random.Generator
) -> Minutes | None:
    """Draw each step's minutes left, shape (steps, draws): estimated × a ratio of the record, less those logged.

    Never below a tenth of the estimate. None when the record is empty: the estimates stand as they are.
    """
    import numpy as np

    if not record.ratios:
        return None
    ratios = rng.choice(np.asarray(record.drawn_from), size=(len(estimated), draws))
    whole, gone = (np.asarray(minutes, dtype=float)[:, None] for minutes in (estimated, logged))
    return np.rint(np.maximum(whole * ratios - gone, whole * LEAST_SHARE_LEFT)).astype(np.int64)
