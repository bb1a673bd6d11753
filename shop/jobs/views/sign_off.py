"""Pages about sign-offs."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone

from shop.base.access import SignedIn, acts, edits
from shop.base.pages import ask_page
from shop.jobs.changes import proof as changes
from shop.jobs.changes.proof import Statement
from shop.jobs.forms.steps import SignCheckedForm, SignTightenedForm
from shop.jobs.models import JobTorque, SignOff, Step
from shop.jobs.specified_torque import specified_torque
from shop.people.models import preferences_of
from specs.engine.units import TORQUE, show


def _statement(given: dict[str, Any]) -> Statement:
    stated = {name: given[name] for name in ("tool", "done_at", "value", "result", "note") if name in given}
    return Statement(**stated)


@edits("jobs.sign")
def sign_off_torque(request: SignedIn, pk: int, torque: int) -> HttpResponse:
    step = get_object_or_404(Step.objects.active().select_related("job"), pk=pk)
    chosen = get_object_or_404(JobTorque.objects.in_force(), pk=torque, job=step.job)
    return _sign_tightened(request, step, chosen)


def _sign_tightened(request: SignedIn, step: Step, torque: JobTorque, corrects: SignOff | None = None) -> HttpResponse:
    def do(given: dict[str, Any]) -> SignOff:
        return changes.sign_tightened(
            step=step,
            torque=torque,
            statement=_statement(given),
            person=request.user,
            now=timezone.now(),
            corrects=corrects,
            reason=given.get("reason", ""),
        )

    return ask_page(
        request,
        SignTightenedForm,
        title=f"{'Correct the sign-off' if corrects else 'Sign off'}: {torque}",
        button="Sign this tightening",
        do=do,
        back=step.get_absolute_url(),
        note=_specified_note(request, step, torque),
        corrects=corrects,
        initial={"done_at": timezone.localtime()},
    )


def _specified_note(request: SignedIn, step: Step, torque: JobTorque) -> str:
    specified, spec = specified_torque(torque.torque_spec, step.job), torque.torque_spec
    if specified is None:
        return "No approved torque: do not tighten."
    figure = show(specified.torque, TORQUE, preferences_of(request.user).system)
    new = " New fasteners every time." if spec.single_use else ""
    return f"Specified: {figure}, {spec.get_condition_display()} ({specified.source}).{new}"


@edits("jobs.sign")
def sign_off_check(request: SignedIn, pk: int) -> HttpResponse:
    step = get_object_or_404(Step.objects.active().select_related("job"), pk=pk)
    return _sign_checked(request, step)


def _sign_checked(request: SignedIn, step: Step, corrects: SignOff | None = None) -> HttpResponse:
    def do(given: dict[str, Any]) -> SignOff:
        return changes.sign_checked(
            step=step,
            what=given["what"],
            specified=given["specified"],
            statement=_statement(given),
            person=request.user,
            now=timezone.now(),
            corrects=corrects,
            reason=given.get("reason", ""),
        )

    initial: dict[str, Any] = {"done_at": timezone.localtime()}
    if corrects:
        initial |= {"what": corrects.what, "specified": corrects.specified}
    return ask_page(
        request,
        SignCheckedForm,
        title=f"{'Correct the check' if corrects else 'Sign a check'}: {step}",
        button="Sign this check",
        do=do,
        back=step.get_absolute_url(),
        corrects=corrects,
        initial=initial,
    )


@edits("jobs.sign")
def sign_off_correct(request: SignedIn, pk: int) -> HttpResponse:
    old = get_object_or_404(SignOff.objects.select_related("step__job", "torque__torque_spec__component"), pk=pk)
    if old.torque:
        return _sign_tightened(request, old.step, old.torque, corrects=old)
    return _sign_checked(request, old.step, corrects=old)


@acts("jobs.sign")
def sign_off_confirm(request: SignedIn, pk: int) -> HttpResponse:
    sign_off = get_object_or_404(SignOff.objects.select_related("step"), pk=pk)
    try:
        changes.confirm_sign_off(sign_off, person=request.user, now=timezone.now())
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    return redirect(sign_off.step)
