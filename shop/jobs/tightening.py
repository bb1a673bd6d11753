"""What is specified for a fastener, and whether what was tightened is that: pure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from shop.torque.text import NO_TORQUE
from specs.calculations import wrench_adapter
from specs.engine.entry import solve
from specs.engine.units import ANGLE, LENGTH
from specs.standards.publications import cite

if TYPE_CHECKING:
    from shop.worksheets.models import AcceptedRecord
    from specs.models import TorqueSpec

# ISO 6789-1:2017: a setting torque tool may be off by 4 % above 10 N·m and by 6 % up to it (from memory).
TOOL_ABOVE_10, TOOL_UP_TO_10 = 0.04, 0.06
TEN_NEWTON_METRES = 10.0


@dataclass(frozen=True)
class SpecifiedTorque:
    """A torque (N·m) and where it comes from, in words; `record` is the accepted record when it was calculated.

    `doubt` says how a published figure disagrees with the fastener beyond scatter; `accepted_doubt` why the owner
    takes it all the same; `most` is the torque beyond which the fastener itself fails (N·m), where that is known.
    """

    torque: float
    source: str
    record: AcceptedRecord | None = None
    doubt: str = ""
    accepted_doubt: str = ""
    most: float | None = None


@dataclass(frozen=True)
class NoTorque:
    """Why a torque spec has no figure in a job."""

    why: str

    def __str__(self) -> str:
        return f"{NO_TORQUE}: {self.why}."


def asked_of(spec: TorqueSpec) -> dict[str, Any]:
    """What a torque spec asks of its fasteners besides the figure, as it is kept with a signature."""
    names = ("thread", "grade", "head", "count", "condition", "single_use", "tightening_order")
    stages = [[stage["kind"], stage["value"]] for stage in spec.stages]
    return {**{name: str(getattr(spec, name)) for name in names}, "stages": stages}


def off_by(value: float, specified: float) -> float:
    """How far a torque is from the one specified, as a share of it; both in N·m."""
    return value / specified - 1


def is_off(value: float, specified: float) -> bool:
    """Whether a torque (N·m) differs from the one specified by more than a wrench in date may be off."""
    allowed = TOOL_ABOVE_10 if specified > TEN_NEWTON_METRES else TOOL_UP_TO_10
    return abs(off_by(value, specified)) > allowed + 1e-9


def off_in_words(value: float, specified: float) -> str:
    """ "12 % more than specified", or "" when it is as specified within the tool's own error."""
    if not is_off(value, specified):
        return ""
    share = off_by(value, specified)
    return f"{abs(share):.0%} {'more' if share > 0 else 'less'} than specified".replace("%", " %")


def adapter_setting(torque: float, *, wrench: float, adapter: float, turned: float = 0.0) -> float:
    """Return what a wrench is set to [N·m] for a torque at the fastener, with an adapter on its drive.

    wrench, adapter: from the drive to the middle of the grip and to the fastener [m]; turned: the angle between them
    [rad]. Raises BadInput in words where the adapter brings the fastener to the hand.
    """
    lengths = {"wrench_length": LENGTH.from_si(wrench), "extension": LENGTH.from_si(adapter)}
    asked = {"target": torque, **lengths, "angle": ANGLE.from_si(turned)}
    return float(solve(wrench_adapter.CALCULATION, asked).found.setting)


def adapter_source() -> str:
    """Where the formula is published."""
    return "; ".join(cite(wrench_adapter.CALCULATION.sources))
