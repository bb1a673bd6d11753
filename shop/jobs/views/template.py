"""Pages about job templates and their steps."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import models
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts, edits, reads
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.jobs.changes import templates as changes
from shop.jobs.changes.templates import apply_template
from shop.jobs.forms.jobs import (
    ApplyTemplateForm,
)
from shop.jobs.forms.notes import TemplateForm, TemplateStepForm
from shop.jobs.models import (
    Job,
    JobTemplate,
    TemplateStep,
)
from shop.jobs.shipped_templates import shipped_templates
from shop.jobs.tables import TemplateFilters, TemplateTable
from shop.jobs.views.common import ask_about


@edits("jobs.manage")
def template_apply(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Job, pk)

    def do(given: dict[str, Any]) -> models.Model:
        apply_template(job=found, template=given["template"], person=request.user)
        return found

    note = gettext(
        "Its steps, with needs, parts, questions and flags, are copied to the end of this job; change them freely."
    )
    return ask_about(
        request,
        found,
        ApplyTemplateForm,
        gettext("Add steps from a template: {found}").format(found=found),
        gettext("Add steps"),
        do,
        note=note,
    )


@reads()
def templates(request: SignedIn) -> HttpResponse:
    brought = set(JobTemplate.objects.exclude(shipped_as="").values_list("shipped_as", flat=True))
    missing = [template.name for template in shipped_templates() if template.key not in brought]
    rows = rows_asked(request, JobTemplate.objects.all()).for_list()
    return list_page(
        request,
        title=gettext("Job templates"),
        table=TemplateTable,
        rows=rows,
        filters=TemplateFilters,
        template="jobs/templates.html",
        context={"missing": missing},
    )


@acts("jobs.templates")
def templates_shipped(request: SignedIn) -> HttpResponse:
    brought = changes.bring_in_shipped(person=request.user)
    messages.success(
        request,
        gettext("{brought} job templates added.").format(brought=len(brought))
        if brought
        else gettext("They were here already."),
    )
    return redirect("jobs:templates")


@reads()
def template(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(JobTemplate.objects.for_list().select_related("deleted_by"), pk=pk)
    steps = found.steps.active().prefetch_related(
        "needs__needs_step", "parts", "checks", "lessons", "guard_changes__person"
    )
    return render(request, "jobs/template.html", {"template": found, "title": found.name, "steps": steps})


@edits("jobs.templates")
def template_new(request: SignedIn) -> HttpResponse:
    return create_page(
        request,
        TemplateForm,
        title=gettext("Add job template"),
        save=lambda form: changes.save_template(form.save(commit=False), person=request.user),
    )


@edits("jobs.templates")
def template_edit(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(JobTemplate, pk)
    return edit_page(
        request,
        found,
        TemplateForm,
        title=gettext("Edit {found}").format(found=found),
        save=lambda form: changes.save_template(form.save(commit=False), person=request.user),
    )


@edits("jobs.templates")
def template_delete(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(JobTemplate, pk=pk)
    return delete_page(
        request,
        found,
        delete=lambda reason: changes.delete_template(found, person=request.user, reason=reason, now=timezone.now()),
        of=found,
        note=gettext("Jobs that came of it keep their steps."),
    )


def _save_template_step(form: TemplateStepForm, request: SignedIn) -> TemplateStep:
    given = form.cleaned_data
    return changes.save_template_step(
        form.save(commit=False),
        after=list(given["after"]),
        questions=given["questions"],
        parts=given["parts"],
        checks=given["checks"],
        reason=given.get("reason", ""),
        person=request.user,
    )


@edits("jobs.templates")
def template_step_new(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(JobTemplate, pk)
    return create_page(
        request,
        TemplateStepForm,
        title=gettext("Add step: {found}").format(found=found),
        save=lambda form: _save_template_step(form, request),
        redirect_to=lambda step: found.get_absolute_url(),
        back=found.get_absolute_url(),
        job_template=found,
        instance=TemplateStep(template=found),
    )


@edits("jobs.templates")
def template_step_edit(request: SignedIn, pk: int) -> HttpResponse:
    step = find_current(TemplateStep.objects.select_related("template"), pk)
    return edit_page(
        request,
        step,
        TemplateStepForm,
        title=gettext("Edit {step}, {template}").format(step=step, template=step.template),
        save=lambda form: _save_template_step(form, request),
        redirect_to=lambda saved: step.template.get_absolute_url(),
        job_template=step.template,
    )


@edits("jobs.templates")
def template_step_delete(request: SignedIn, pk: int) -> HttpResponse:
    step = get_object_or_404(TemplateStep.objects.select_related("template"), pk=pk)
    return delete_page(
        request,
        step,
        delete=lambda reason: changes.delete_template_step(
            step, person=request.user, reason=reason, now=timezone.now()
        ),
        of=step.template,
    )
