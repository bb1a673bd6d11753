"""Signing off, and what needs a licensed eye."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from shop.jobs.asked import asked_for
from shop.jobs.changes import proof as changes
from shop.jobs.changes.proof import Statement
from shop.jobs.forms.jobs import ApprovalForm, RegulatedForm
from shop.jobs.forms.steps import SignCheckedForm, SignTightenedForm
from shop.jobs.models import Approval, Job, JobTorque, RegulatedItem, SignOff, Step
from shop.jobs.regulated import CAUTION
from shop.people.access import SignedIn, allowed
from shop.people.queries import preferences_of
from shop.vehicles.pages import ask_page, withdraw_page
from specs.units import TORQUE, show


def _statement(given: dict[str, Any]) -> Statement:
    said = {name: given[name] for name in ("tool", "done_at", "value", "result", "note") if name in given}
    return Statement(**said)


@allowed("jobs.sign")
def sign(request: SignedIn, pk: int, torque: int) -> HttpResponse:
    step = get_object_or_404(Step.objects.standing().select_related("job"), pk=pk)
    chosen = get_object_or_404(JobTorque.objects.in_force(), pk=torque, job=step.job)
    return _sign_tightened(request, step, chosen)


def _sign_tightened(request: SignedIn, step: Step, torque: JobTorque, corrects: SignOff | None = None) -> HttpResponse:
    def do(given: dict[str, Any]) -> SignOff:
        return changes.sign_tightened(
            step=step,
            torque=torque,
            said=_statement(given),
            by=request.user,
            now=timezone.now(),
            corrects=corrects,
            why=given.get("why", ""),
        )

    return ask_page(
        request,
        SignTightenedForm,
        title=f"{'Correct the sign-off' if corrects else 'Sign off'}: {torque}",
        button="I tightened this",
        do=do,
        back=step.get_absolute_url(),
        note=_asked_note(request, step, torque),
        corrects=corrects,
        initial={"done_at": timezone.localtime()},
    )


def _asked_note(request: SignedIn, step: Step, torque: JobTorque) -> str:
    asked, spec = asked_for(torque.torque_spec, step.job), torque.torque_spec
    if asked is None:
        return "No torque is published for it, and no accepted worksheet of this job gives one: accept one first."
    shown = show(asked.torque, TORQUE, preferences_of(request.user).system)
    new = " New fasteners every time." if spec.single_use else ""
    return f"Asked for: {shown}, {spec.get_condition_display()} ({asked.source}).{new}"


@allowed("jobs.sign")
def check(request: SignedIn, pk: int) -> HttpResponse:
    step = get_object_or_404(Step.objects.standing().select_related("job"), pk=pk)
    return _sign_checked(request, step)


def _sign_checked(request: SignedIn, step: Step, corrects: SignOff | None = None) -> HttpResponse:
    def do(given: dict[str, Any]) -> SignOff:
        return changes.sign_checked(
            step=step,
            what=given["what"],
            asked=given["asked"],
            said=_statement(given),
            by=request.user,
            now=timezone.now(),
            corrects=corrects,
            why=given.get("why", ""),
        )

    initial: dict[str, Any] = {"done_at": timezone.localtime()}
    if corrects:
        initial |= {"what": corrects.what, "asked": corrects.asked}
    return ask_page(
        request,
        SignCheckedForm,
        title=f"{'Correct the check' if corrects else 'Sign a check'}: {step}",
        button="I checked this",
        do=do,
        back=step.get_absolute_url(),
        corrects=corrects,
        initial=initial,
    )


@allowed("jobs.sign")
def sign_off_correct(request: SignedIn, pk: int) -> HttpResponse:
    old = get_object_or_404(SignOff.objects.select_related("step__job", "torque__torque_spec__component"), pk=pk)
    if old.torque:
        return _sign_tightened(request, old.step, old.torque, corrects=old)
    return _sign_checked(request, old.step, corrects=old)


@require_POST
@allowed("jobs.sign")
def sign_off_confirm(request: SignedIn, pk: int) -> HttpResponse:
    sign_off = get_object_or_404(SignOff.objects.select_related("step"), pk=pk)
    try:
        changes.confirm_sign_off(sign_off, by=request.user, now=timezone.now())
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    return redirect(sign_off.step)


@allowed("jobs.regulated")
def regulated_new(request: SignedIn, pk: int) -> HttpResponse:
    job = get_object_or_404(Job, pk=pk)
    return ask_page(
        request,
        RegulatedForm,
        title=f"Flag what needs a licensed eye: {job}",
        button="Flag it",
        do=lambda given: changes.flag_regulated(job=job, by=request.user, **given),
        back=job.get_absolute_url(),
        note=CAUTION,
        job=job,
    )


@allowed("jobs.approve")
def regulated_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    item = get_object_or_404(RegulatedItem.objects.select_related("job"), pk=pk)
    return withdraw_page(
        request,
        item,
        do=lambda why: changes.withdraw_regulated(item, by=request.user, why=why, now=timezone.now()),
        back=item.job.get_absolute_url(),
    )


@allowed("jobs.approve")
def approve(request: SignedIn, pk: int) -> HttpResponse:
    item = get_object_or_404(RegulatedItem.objects.standing().select_related("job"), pk=pk)

    def do(given: dict[str, Any]) -> Approval:
        return changes.approve(item, by=request.user, today=timezone.localdate(), **given)

    return ask_page(
        request,
        ApprovalForm,
        title=f"Passed by a licensed person: {item}",
        button="Record the approval",
        do=do,
        back=item.job.get_absolute_url(),
        note=CAUTION,
        initial={"passed_on": timezone.localdate()},
    )


@allowed("jobs.approve")
def approval_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    approval = get_object_or_404(Approval.objects.select_related("item__job"), pk=pk)
    return withdraw_page(
        request,
        approval,
        do=lambda why: changes.withdraw_approval(approval, by=request.user, why=why, now=timezone.now()),
        back=approval.item.job.get_absolute_url(),
    )
