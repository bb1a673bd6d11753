"""The torque specs of a job: in which step, from which accepted record, and doubts about them settled."""

from __future__ import annotations

from datetime import datetime

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base import written
from shop.base.language import capfirst
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.jobs.changes.guards import require_guard, weaken_job
from shop.jobs.models import Job, JobTorque, Step, TorqueTie
from shop.jobs.specified_torque import specified_torque, why_not_tied
from shop.jobs.tightening import NoTorque
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import AcceptedRecord
from specs.models import TorqueSpec


@transaction.atomic
def apply_torque(*, job: Job, torque_spec: TorqueSpec, step: Step | None, person: User) -> JobTorque:
    """Say that a torque spec applies to the job, in a step of it."""
    require(person, "jobs.manage")
    if step is not None and step.job_id != job.pk:
        raise ValidationError({"step": gettext("This step is of another job.")})
    if torque_spec.is_deleted:
        raise ValidationError({"torque_spec": gettext("This torque spec was deleted; choose the one in force.")})
    status = job.job_torques.filter(deleted_at=None, torque_spec=torque_spec, step=step)
    return status.first() or save_as(JobTorque(job=job, torque_spec=torque_spec, step=step), person=person)


@transaction.atomic
def delete_torque(job_torque: JobTorque, *, person: User, reason: str, now: datetime) -> JobTorque:
    """Say that a torque spec does not apply after all. Sign-offs made with it stay."""
    require_guard(job_torque.step, person=person)
    if job_torque.step is None:
        weaken_job(
            job_torque.job,
            what=gettext("{job_torque} does not apply").format(job_torque=job_torque),
            person=person,
            reason=reason,
        )
    return delete_record(job_torque, person=person, reason=reason, now=now)


@transaction.atomic
def tie_torque(job_torque: JobTorque, *, record: AcceptedRecord, person: User, now: datetime) -> TorqueTie:
    """Say that a job's torque spec takes its figure from one accepted worksheet record.

    Refused where job, component, thread, class, head or friction differ, and for a record that does not hold today.
    Another record takes the place of the one tied before.
    """
    require(person, "jobs.sign")
    if refused := why_not_tied(record, job_torque):
        raise ValidationError({"record": f"{capfirst(refused)}."})
    state = worksheet_state(record.worksheet)
    if record.worksheet.is_deleted or state.accepted is None or state.accepted.pk != record.pk:
        raise ValidationError(
            {"record": gettext("Choose the record that was accepted last, of a worksheet that is there.")}
        )
    if not state.status.holds:
        raise ValidationError(
            {"record": gettext("This worksheet does not hold today: {state}.").format(state=state.status.state)}
        )
    if state.accepted_alone:
        raise ValidationError({"record": f"{state.accepted_alone}."})
    for before in TorqueTie.objects.active().filter(job_torque=job_torque):
        if before.record_id == record.pk:
            return before
        delete_record(
            before,
            person=person,
            reason=written.kept_text("tied to another record on {kept_day}", kept_day=written.kept_day(now)),
            now=now,
        )
    return save_as(TorqueTie(job_torque=job_torque, record=record, person=person, tied_at=now), person=person)


@transaction.atomic
def accept_doubt(job_torque: JobTorque, *, person: User, reason: str, now: datetime) -> JobTorque:
    """Record why the owner takes a published figure that disagrees with the fastener beyond scatter.

    It counts for this figure only: when the figure changes, the doubt is back.
    """
    require(person, "jobs.guard")
    specified = specified_torque(job_torque)
    if isinstance(specified, NoTorque) or not specified.doubt:
        raise ValidationError(gettext("There is no doubt about this torque."))
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why the published figure is right.")})
    job_torque.doubt_reason, job_torque.doubt_figure = reason.strip(), specified.torque
    job_torque.doubt_by, job_torque.doubt_at = person, now
    fields = ["doubt_reason", "doubt_figure", "doubt_by", "doubt_at"]
    return save_as(job_torque, person=person, reason=reason, fields=fields)
