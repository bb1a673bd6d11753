"""What torque is asked for, and on whose word: the published figure, or an accepted worksheet's; never a bare wish."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shop.jobs.models import Job
from shop.worksheets.evaluation import worksheet_states
from shop.worksheets.models import AcceptedRecord
from specs.models import TorqueSpec


@dataclass(frozen=True)
class SpecifiedTorque:
    """A torque (N·m) and where it comes from, in words; `record` is the accepted record when it was calculated."""

    torque: float
    source: str
    record: AcceptedRecord | None = None


def specified_torque(spec: TorqueSpec, job: Job) -> SpecifiedTorque | None:
    """The torque asked for by a spec in a job, or None while nobody stands behind one."""
    return specified_torques(job, [spec])[spec.pk]


def specified_torques(job: Job, specs: Iterable[TorqueSpec]) -> dict[int, SpecifiedTorque | None]:
    """What each spec asks for in a job, by the spec's primary key.

    The maker's published figure comes first. Without one, the job's own accepted worksheet for the same thread and
    grade counts, as long as today bears it out.
    """
    specs = list(specs)
    records = _accepted_torques(job) if any(spec.published_torque is None for spec in specs) else []
    return {spec.pk: _specified(spec, records) for spec in specs}


def _specified(spec: TorqueSpec, records: list[AcceptedRecord]) -> SpecifiedTorque | None:
    if spec.published_torque is not None:
        return SpecifiedTorque(spec.published_torque, spec.published_source)
    for record in records:
        if _same_fastener(record, spec):
            return SpecifiedTorque(
                record.outputs["torque"]["value"], f"accepted worksheet “{record.worksheet}”", record
            )
    return None


def _accepted_torques(job: Job) -> list[AcceptedRecord]:
    sheets = job.worksheets.active().filter(calculation="fastener-torque").for_states()
    return [state.accepted for state in worksheet_states(sheets) if state.status.holds and state.accepted]


def _same_fastener(record: AcceptedRecord, spec: TorqueSpec) -> bool:
    typed = (str(record.inputs.get(name, "")) for name in ("thread", "grade"))
    return [_plain(text) for text in typed] == [_plain(spec.thread), _plain(spec.grade)]


def _plain(text: str) -> str:
    return text.replace("×", "x").replace(" ", "").lower()
