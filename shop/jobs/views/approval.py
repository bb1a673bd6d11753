"""Pages about the approvals of a licensed person."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import ask_page, delete_page
from shop.base.records import find_current
from shop.jobs.changes import approvals as changes
from shop.jobs.forms.jobs import ApprovalForm
from shop.jobs.models import Approval, RegulatedItem
from shop.jobs.regulated import CAUTION


@edits("jobs.approve")
def approval_new(request: SignedIn, pk: int) -> HttpResponse:
    item = find_current(RegulatedItem.objects.select_related("job__vehicle"), pk)

    def do(given: dict[str, Any]) -> Approval:
        return changes.approve(item, person=request.user, today=timezone.localdate(), **given)

    return ask_page(
        request,
        ApprovalForm,
        title=gettext("Record an approval: {item}").format(item=item),
        button=gettext("Record the approval"),
        do=do,
        back=item.job.get_absolute_url(),
        note=gettext("{CAUTION} The vehicle: {vehicle}.").format(CAUTION=CAUTION, vehicle=item.job.vehicle),
        initial={"passed_on": timezone.localdate()},
    )


@edits("jobs.approve")
def approval_delete(request: SignedIn, pk: int) -> HttpResponse:
    approval = get_object_or_404(Approval.objects.select_related("item__job"), pk=pk)
    return delete_page(
        request,
        approval,
        delete=lambda reason: changes.delete_approval(approval, person=request.user, reason=reason, now=timezone.now()),
        of=approval.item.job,
    )
