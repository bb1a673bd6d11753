"""What is specified for a fastener, and whether what was tightened is that: pure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext

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
# Below four fifths of its figure a bolt counts as loose (common practice, no source).
LEAST_SHARE = 0.8


@dataclass(frozen=True)
class SpecifiedTorque:
    """A torque (N·m) and where it comes from, in words; `record` is the accepted record when it was calculated.

    `doubt` says how a published figure disagrees with the fastener beyond scatter; `accepted_doubt` why the owner
    takes it all the same; `bears` is the torque at which the fastener yields (N·m), where that is known.
    """

    torque: float
    source: str
    record: AcceptedRecord | None = None
    doubt: str = ""
    accepted_doubt: str = ""
    bears: float | None = None

    @property
    def most(self) -> float:
        """Beyond this nobody signs [N·m]: what the fastener bears, and at least what was specified with its tool."""
        return max(self.bears or 0.0, self.torque * (1 + _tool(self.torque)))

    @property
    def least(self) -> float:
        """Below this it is not tightened [N·m], whatever a note says."""
        return self.torque * LEAST_SHARE


@dataclass(frozen=True)
class NoTorque:
    """Why a torque spec has no figure in a job."""

    why: str

    def __str__(self) -> str:
        return f"{NO_TORQUE}: {self.why}."


def has_figure(specified: SpecifiedTorque | NoTorque) -> bool:
    """Whether a fastener may be tightened to what is specified: approved, and no doubt left about it."""
    return isinstance(specified, SpecifiedTorque) and not (specified.doubt and not specified.accepted_doubt)


def asked_of(spec: TorqueSpec) -> dict[str, Any]:
    """What a torque spec asks of its fasteners besides the figure, as it is kept with a signature."""
    names = ("thread", "grade", "head", "count", "condition", "single_use", "tightening_order")
    stages = [[stage["kind"], stage["value"]] for stage in spec.stages]
    place = " ".join(spec.place.casefold().split())
    return {**{name: str(getattr(spec, name)) for name in names}, "stages": stages, "place": place}


def off_by(value: float, specified: float) -> float:
    """How far a torque is from the one specified, as a share of it; both in N·m."""
    return value / specified - 1


def is_off(value: float, specified: float) -> bool:
    """Whether a torque (N·m) differs from the one specified by more than a wrench in date may be off."""
    return abs(off_by(value, specified)) > _tool(specified) + 1e-9


def _tool(torque: float) -> float:
    return TOOL_ABOVE_10 if torque > TEN_NEWTON_METRES else TOOL_UP_TO_10


def off_in_words(value: float, specified: float) -> str:
    """ "12 % more than specified", or "" when it is as specified within the tool's own error."""
    if not is_off(value, specified):
        return ""
    share = off_by(value, specified)
    said = gettext("{share} more than specified") if share > 0 else gettext("{share} less than specified")
    return said.format(share=f"{abs(share):.0%}".replace("%", " %"))


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
