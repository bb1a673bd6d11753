"""Pages about sign-offs."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts, edits
from shop.base.pages import ask_page
from shop.base.records import find_current
from shop.jobs.changes import proof as changes
from shop.jobs.changes.proof import Statement
from shop.jobs.forms.steps import SignCheckedForm, SignTightenedForm
from shop.jobs.models import JobTorque, RequiredCheck, SignOff, Step
from shop.jobs.specified_torque import specified_torque
from shop.jobs.tightening import NoTorque, has_figure
from shop.people.models import preferences_of
from shop.torque.text import NO_TORQUE, torque_text

_STATED = ("tool", "done_at", "value", "result", "note", "passed", "new_fasteners", "angle")


def _statement(given: dict[str, Any]) -> Statement:
    stated = {name: given[name] for name in _STATED if name in given}
    if "passed" in stated:
        stated["passed"] = stated["passed"] == "yes"
    return Statement(**stated)


@edits("jobs.sign")
def sign_off_torque(request: SignedIn, pk: int, torque: int) -> HttpResponse:
    step = find_current(Step.objects.select_related("job"), pk)
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
        title=f"{gettext('Correct the sign-off') if corrects else gettext('Sign off')}: {torque}",
        button=gettext("Sign this tightening"),
        do=do,
        back=step.get_absolute_url(),
        note=_specified_note(request, torque),
        corrects=corrects,
        single_use=torque.torque_spec.single_use,
        angles=torque.torque_spec.angle_stages,
        initial={"done_at": timezone.localtime()},
    )


def _specified_note(request: SignedIn, torque: JobTorque) -> str:
    specified, spec = specified_torque(torque), torque.torque_spec
    if isinstance(specified, NoTorque):
        return str(specified)
    if not has_figure(specified):
        return gettext("{NO_TORQUE}: {doubt}. The owner says first why it is right.").format(
            NO_TORQUE=NO_TORQUE, doubt=specified.doubt
        )
    figure = torque_text(specified.torque, preferences_of(request.user).system)
    new = gettext(" New fasteners every time.") if spec.single_use else ""
    doubt = f"{specified.doubt}. {specified.accepted_doubt} " if specified.doubt else ""
    angles = (
        gettext(" Then {angle_stages} further.").format(angle_stages=gettext(", then ").join(spec.angle_stages))
        if spec.angle_stages
        else ""
    )
    return gettext(
        "{doubt}Specified: {figure}, {get_condition_display} ({source}).{angles}{new} With an "
        "adapter on the wrench its setting is another: work that out first, and name the adapter beside the wrench."
    ).format(
        doubt=doubt,
        figure=figure,
        get_condition_display=spec.get_condition_display(),
        source=specified.source,
        angles=angles,
        new=new,
    )


@edits("jobs.sign")
def sign_off_check(request: SignedIn, pk: int) -> HttpResponse:
    step = find_current(Step.objects.select_related("job"), pk)
    chosen = request.GET.get("check", "")
    checks = step.required_checks.active()
    required = get_object_or_404(checks, pk=int(chosen)) if chosen.isdecimal() and len(chosen) < 10 else None
    return _sign_checked(request, step, required)


def _sign_checked(
    request: SignedIn, step: Step, required: RequiredCheck | None, corrects: SignOff | None = None
) -> HttpResponse:
    def do(given: dict[str, Any]) -> SignOff:
        return changes.sign_checked(
            step=step,
            what=given["what"],
            specified=given["specified"],
            required_check=required,
            statement=_statement(given),
            person=request.user,
            now=timezone.now(),
            corrects=corrects,
            reason=given.get("reason", ""),
        )

    initial: dict[str, Any] = {"done_at": timezone.localtime()}
    if required:
        initial |= {"what": required.what, "specified": required.specified}
    if corrects:
        initial |= {"what": corrects.what, "specified": corrects.specified}
    return ask_page(
        request,
        SignCheckedForm,
        title=f"{gettext('Correct the check') if corrects else gettext('Sign a check')}: {step}",
        button=gettext("Sign this check"),
        do=do,
        back=step.get_absolute_url(),
        corrects=corrects,
        initial=initial,
    )


@edits("jobs.sign")
def sign_off_correct(request: SignedIn, pk: int) -> HttpResponse:
    records = SignOff.objects.select_related("step__job", "required_check", "torque__torque_spec__component")
    old = get_object_or_404(records, pk=pk)
    if old.torque:
        return _sign_tightened(request, old.step, old.torque, corrects=old)
    return _sign_checked(request, old.step, old.required_check, corrects=old)


@acts("jobs.sign")
def sign_off_confirm(request: SignedIn, pk: int) -> HttpResponse:
    sign_off = get_object_or_404(SignOff.objects.select_related("step"), pk=pk)
    try:
        changes.confirm_sign_off(sign_off, person=request.user, now=timezone.now())
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    return redirect(sign_off.step)
