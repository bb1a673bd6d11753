"""The list of jobs and the page of one job."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.jobs.changes import jobs as changes
from shop.jobs.forms.jobs import JobForm
from shop.jobs.job_page import read_job
from shop.jobs.job_rows import NEXT_SHOWN, open_step_rows, part_rows
from shop.jobs.models import Job
from shop.jobs.queries import JobQuerySet
from shop.jobs.standing import listed
from shop.jobs.tables import JobFilters, JobTable
from specs.row_queries import put_together_once


@put_together_once
def _listed() -> JobQuerySet:
    """Every job with what its line in the list says."""
    rows = listed(Job.objects.all()).with_only("vehicle", "maker", "model", "registration", "customer")
    return rows.with_only("vehicle__customer", "name")


@reads()
def jobs(request: SignedIn) -> HttpResponse:
    rows, template = rows_asked(request, _listed()), "jobs/jobs.html"
    return list_page(request, title=gettext("Jobs"), table=JobTable, rows=rows, filters=JobFilters, template=template)


@reads()
def job(request: SignedIn, pk: int) -> HttpResponse:
    context = read_job(pk, timezone.localdate())
    open_steps = open_step_rows(context["steps"], request.user)
    own = {
        "next_steps": open_steps[:NEXT_SHOWN],
        "later_steps": open_steps[NEXT_SHOWN:],
        "parts": part_rows(context["needs"], request.user, timezone.localdate()),
    }
    return render(request, "jobs/job.html", {**context, **own})


@edits("jobs.manage")
def job_new(request: SignedIn) -> HttpResponse:
    vehicle = request.GET.get("vehicle", "")
    return create_page(
        request,
        JobForm,
        title=gettext("Add job"),
        save=lambda form: changes.save_job(form.save(commit=False), person=request.user, today=timezone.localdate()),
        initial={"vehicle": vehicle if vehicle.isdecimal() else None, "opened_on": timezone.localdate()},
    )


@edits("jobs.manage")
def job_edit(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Job, pk)
    return edit_page(
        request,
        found,
        JobForm,
        title=gettext("Edit {found}").format(found=found),
        save=lambda form: changes.save_job(form.save(commit=False), person=request.user, today=timezone.localdate()),
    )


@edits("jobs.manage")
def job_delete(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)
    return delete_page(
        request,
        found,
        delete=lambda reason: changes.delete_job(found, person=request.user, reason=reason, now=timezone.now()),
        of=found,
    )
