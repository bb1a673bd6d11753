"""Pages about what needs licensed approval."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.forms import ReasonForm
from shop.base.pages import ask_page, delete_page
from shop.base.records import find_current
from shop.jobs.changes import approvals as changes
from shop.jobs.forms.jobs import RegulatedForm
from shop.jobs.models import Job, RegulatedItem
from shop.jobs.regulated import CAUTION


@edits("jobs.regulated")
def regulated_new(request: SignedIn, pk: int) -> HttpResponse:
    job = find_current(Job, pk)
    return ask_page(
        request,
        RegulatedForm,
        title=gettext("Add what needs licensed approval: {job}").format(job=job),
        button=gettext("Add regulated item"),
        do=lambda given: changes.flag_regulated(job=job, person=request.user, **given),
        back=job.get_absolute_url(),
        note=CAUTION,
        job=job,
    )


@edits("jobs.approve")
def regulated_delete(request: SignedIn, pk: int) -> HttpResponse:
    item = get_object_or_404(RegulatedItem.objects.select_related("job"), pk=pk)
    return delete_page(
        request,
        item,
        delete=lambda reason: changes.delete_regulated(item, person=request.user, reason=reason, now=timezone.now()),
        of=item.job,
        asks=gettext("Remove regulated item"),
    )


@edits("jobs.guard")
def regulated_override(request: SignedIn, pk: int) -> HttpResponse:
    item = find_current(RegulatedItem.objects.select_related("job"), pk)
    return ask_page(
        request,
        ReasonForm,
        title=gettext("Go on without approval: {item}").format(item=item),
        button=gettext("Go on without approval"),
        do=lambda given: changes.override_regulated(
            item, person=request.user, reason=given["reason"], now=timezone.now()
        ),
        back=item.job.get_absolute_url(),
        note=gettext("{CAUTION} Your name and reason are printed.").format(CAUTION=CAUTION),
    )
