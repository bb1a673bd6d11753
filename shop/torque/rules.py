"""What a torque spec is tightened to, and whether the published figure can be believed: pure over a spec's values."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, find
from specs.engine.entry import solve
from specs.engine.units import LENGTH
from specs.models import TorqueSpec
from specs.standards import friction
from specs.written import wrench_torque

# ISO 6789-1:2017: a torque wrench in date is off by at most 4 % above 10 N·m (from memory).
WRENCH = 0.04
# VDI 2230-1:2015, 5.4.3: the share of yield that the calculation aims at where nobody says another.
AIMED = 0.9
# A maker may aim at 0.8 of yield (common practice, no source).
_AIMED_LOWER = 0.8 / AIMED
SCATTER_WORDS = gettext_lazy(
    "the range of friction of the condition, from lowest to highest, and 4 % of the wrench's own error"
)
_LUBRICANT = {
    TorqueSpec.Condition.DRY: ("C", "none"),
    TorqueSpec.Condition.OILED: ("B", gettext_lazy("grease, oil, wax or solid lubricant")),
    TorqueSpec.Condition.LOCKING: ("C", gettext_lazy("locking compound")),
}


@dataclass(frozen=True)
class Calculated:
    """What the fastener itself calls for (N*m): worked at the lowest friction, where a torque stresses it most.

    torque: the figure as a wrench is set to it, rounded down once. low, high: unrounded, at the lowest and the highest
    friction. answer: what the figure that is specified does to the fastener over that range (`set_torque`).
    """

    torque: float
    low: float
    high: float
    friction: friction.Condition
    answer: Answer

    @property
    def bears(self) -> float:
        """Where the bolt yields [N·m] at the lowest friction: the calculation aims at a share of yield (VDI 2230)."""
        return self.low / AIMED

    @property
    def lowest_believable(self) -> float:
        return self.low * _AIMED_LOWER * (1 - WRENCH)

    @property
    def highest_believable(self) -> float:
        return self.high * (1 + WRENCH)


@dataclass(frozen=True)
class Advice:
    """What to tighten to and on whose word. The maker's figure stays first, flagged or not.

    `why_not` says why nothing could be calculated, where that is so. A figure that an angle stage follows only seats
    the fastener, and is not compared.
    """

    torque: float | None
    published: bool
    calculated: Calculated | None
    why_not: str = ""
    seats_only: bool = False

    @property
    def approved(self) -> float | None:
        """The published figure; a calculated one is not approved until a job ties a worksheet to it."""
        return self.torque if self.published else None

    @property
    def flagged(self) -> bool:
        """Whether the published figure lies outside the scatter around the calculated one."""
        return bool(self.flag)

    @property
    def flag(self) -> str:
        """In words, which way the published figure is off; empty where it is believable."""
        if self.seats_only or not (self.published and self.calculated and self.torque):
            return ""
        if self.torque < self.calculated.lowest_believable:
            return gettext("below what this bolt needs")
        return gettext("above what this bolt can take") if self.torque > self.calculated.highest_believable else ""


def friction_of(condition: str) -> friction.Condition:
    """The friction range (VDI 2230 table A5) of a spec's condition."""
    friction_class, lubricant = _LUBRICANT[TorqueSpec.Condition(condition)]
    return next(row for row in friction.table() if (row.friction_class, row.lubricant) == (friction_class, lubricant))


def calculate(spec: TorqueSpec) -> Calculated:
    """The torque by the fastener-torque calculation, and what the figure that is specified does to the fastener.

    Raises BadInput where thread, grade or head cannot be used.
    """
    range_ = friction_of(spec.condition)
    lowest, highest = range_.lowest, range_.highest or range_.lowest
    low, high = (_answer(spec, (mu, mu)).found.torque for mu in (lowest, highest))
    figure = wrench_torque(low)
    return Calculated(
        torque=figure,
        low=low,
        high=high,
        friction=range_,
        answer=_answer(spec, (lowest, highest), spec.published_torque or figure),
    )


def _answer(spec: TorqueSpec, mu: tuple[float, float], set_torque: float | None = None) -> Answer:
    return _solved(spec.thread, spec.grade, spec.head, spec.bearing_diameter, mu, set_torque)


# A list page asks for the same few fasteners over and over.
@lru_cache(maxsize=1024)
def _solved(
    thread: str,
    grade: str,
    head: str,
    bearing_diameter: float | None,
    mu: tuple[float, float],
    set_torque: float | None,
) -> Answer:
    calculation = find("fastener-torque")
    assert calculation is not None
    request: dict[str, Any] = {"thread": thread, "grade": grade, "head": head, "wrench": WRENCH}
    request |= {"mu_low": mu[0], "mu_high": mu[1]}
    request |= {"set_torque": set_torque} if set_torque else {}
    request |= {"bearing_diameter": LENGTH.from_si(bearing_diameter)} if bearing_diameter else {}
    return solve(calculation, request)


def advice(spec: TorqueSpec) -> Advice:
    """What to tighten to: the published figure where there is one, else the calculated one."""
    try:
        calculated = calculate(spec)
    except BadInput as bad:
        return Advice(spec.published_torque, spec.published_torque is not None, None, " ".join(bad.errors.values()))
    if spec.published_torque is not None:
        return Advice(spec.published_torque, True, calculated, seats_only=spec.has_angle_stage)
    return Advice(calculated.torque, False, calculated)


def tightening_order(spec: TorqueSpec) -> str:
    """The order in which to tighten: the one on record, else the cross pattern for the count."""
    if spec.tightening_order or spec.count < 2:
        return spec.tightening_order
    calculation = find("tightening-sequence")
    assert calculation is not None
    try:
        found = solve(calculation, {"count": spec.count, "torque": 1}).found
    except BadInput:  # more fasteners than any one circle has
        return ""
    return " – ".join(map(str, found.order))
