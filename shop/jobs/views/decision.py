"""Pages about the decisions of a job."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import delete_page
from shop.base.records import find_current
from shop.jobs.changes import jobs as changes
from shop.jobs.forms.jobs import (
    DecisionMakeForm,
    PutDecisionForm,
    QuestionForm,
)
from shop.jobs.models import Decision, Job
from shop.jobs.views.common import ask_about


@edits("jobs.manage")
def decision_new(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Job, pk)

    def do(given: dict[str, Any]) -> Decision:
        return changes.ask(job=found, question=given["question"], put_to=given["put_to"], person=request.user)

    return ask_about(
        request, found, QuestionForm, gettext("Add decision: {found}").format(found=found), gettext("Add decision"), do
    )


@edits("jobs.manage")
def decision_put(request: SignedIn, pk: int) -> HttpResponse:
    decision = find_current(Decision.objects.select_related("job"), pk)

    def do(given: dict[str, Any]) -> Decision:
        return changes.put_decision(decision, put_to=given["put_to"], reason=given["reason"], person=request.user)

    title, initial = (
        gettext("Who decides: {decision}").format(decision=decision),
        {"put_to": list(decision.put_to.all())},
    )
    return ask_about(
        request, decision.job, PutDecisionForm, title, gettext("Put the decision to them"), do, initial=initial
    )


@edits("jobs.manage")
def decision_delete(request: SignedIn, pk: int) -> HttpResponse:
    decision = get_object_or_404(Decision.objects.select_related("job"), pk=pk)
    return delete_page(
        request,
        decision,
        delete=lambda reason: changes.delete_question(decision, person=request.user, reason=reason, now=timezone.now()),
        of=decision.job,
    )


@edits("jobs.decide")
def decision_make(request: SignedIn, pk: int) -> HttpResponse:
    decision = find_current(Decision.objects.select_related("job"), pk)

    def do(given: dict[str, Any]) -> Decision:
        given = {"reason": "", **given}
        return changes.decide(decision, person=request.user, now=timezone.now(), **given)

    initial = {"answer": decision.answer, "outcome": decision.outcome}
    return ask_about(
        request,
        decision.job,
        DecisionMakeForm,
        gettext("Decide: {decision}").format(decision=decision),
        gettext("Record decision"),
        do,
        decision=decision,
        no_yes=changes.why_no_yes(decision, person=request.user),
        initial=initial,
    )
