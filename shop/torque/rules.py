"""What a torque spec is tightened to, and whether the published figure can be believed: pure over a spec's values."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import floor
from typing import Any

from specs.engine.answer import Answer, solve
from specs.engine.calculation import find
from specs.engine.entry import BadInput
from specs.engine.units import LENGTH
from specs.models import TorqueSpec
from specs.standards import friction

NO_TORQUE = "No approved torque: do not tighten"
# A published figure is written with as many figures as anybody publishes.
FIGURES = 4
SCATTER = 0.30
SCATTER_WORDS = (
    "±30 % by torque wrench around the torque at middling friction, widened to the torques at the lowest and highest "
    "friction of the condition where those lie further out"
)
_LUBRICANT = {
    TorqueSpec.Condition.DRY: ("C", "none"),
    TorqueSpec.Condition.OILED: ("B", "grease, oil, wax or solid lubricant"),
    TorqueSpec.Condition.LOCKING: ("C", "locking compound"),
}


@dataclass(frozen=True)
class Calculated:
    """The torque that the fastener itself calls for (N*m, SI): at middling, lowest and highest friction."""

    torque: float
    low: float
    high: float
    friction: friction.Condition
    answer: Answer

    @property
    def band(self) -> float:
        return self.torque * SCATTER

    @property
    def lowest_believable(self) -> float:
        return min(self.low, self.torque * (1 - SCATTER))

    @property
    def highest_believable(self) -> float:
        return max(self.high, self.torque * (1 + SCATTER))


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
    def band(self) -> float | None:
        """How much of a figure counts: all of a published one, of a calculated one what the scatter leaves [N*m]."""
        return None if self.published or self.torque is None else self.torque * SCATTER

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
            return "below what this bolt needs"
        return "above what this bolt can take" if self.torque > self.calculated.highest_believable else ""


def wrench_torque(torque: float) -> float:
    """Round a torque [N*m] down to what a wrench is set to: 0.1 below 20, 0.5 below 50, 1 above (common practice).

    >>> [wrench_torque(torque) for torque in (19.99, 49.9, 72.9, 53.0)]
    [19.9, 49.5, 72.0, 53.0]
    """
    steps = 10 if torque < 20 else 2 if torque < 50 else 1
    # What a calculation left a hair under a step is that step.
    return floor(torque * steps + 1e-6) / steps


def friction_of(condition: str) -> friction.Condition:
    """The friction range (VDI 2230 table A5) of a spec's condition."""
    friction_class, lubricant = _LUBRICANT[TorqueSpec.Condition(condition)]
    return next(row for row in friction.table() if (row.friction_class, row.lubricant) == (friction_class, lubricant))


def calculate(spec: TorqueSpec) -> Calculated:
    """The torque by the fastener-torque calculation. Raises BadInput where thread, grade or head cannot be used."""
    range_ = friction_of(spec.condition)
    lowest, highest = range_.lowest, range_.highest or range_.lowest
    middle = _answer(spec, (lowest + highest) / 2)
    return Calculated(
        torque=middle.found.torque,
        low=_answer(spec, lowest).found.torque,
        high=_answer(spec, highest).found.torque,
        friction=range_,
        answer=middle,
    )


def _answer(spec: TorqueSpec, mu: float) -> Answer:
    return _solved(spec.thread, spec.grade, spec.head, spec.bearing_diameter, mu)


# A list page asks for the same few fasteners over and over.
@lru_cache(maxsize=1024)
def _solved(thread: str, grade: str, head: str, bearing_diameter: float | None, mu: float) -> Answer:
    calculation = find("fastener-torque")
    assert calculation is not None
    request: dict[str, Any] = {"thread": thread, "grade": grade, "mu_thread": mu, "mu_head": mu}
    if bearing_diameter:
        request["bearing_diameter"] = LENGTH.from_si(bearing_diameter)
    else:
        request["head"] = head
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
