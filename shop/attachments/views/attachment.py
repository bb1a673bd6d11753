"""Documents of suppliers, jobs, vehicles and components: kept, given back as they were, deleted."""

from __future__ import annotations

from functools import partial
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.views.decorators.cache import cache_control

from shop.attachments import changes
from shop.attachments.models import OWNERS, Attachment
from shop.base.access import SignedIn, edits, reads
from shop.base.file_pages import give_back, keep_page
from shop.base.language import gettext_lazy
from shop.base.pages import delete_page
from shop.base.records import find_current
from shop.jobs.models import Job
from shop.orders.models import Supplier
from shop.vehicles.models import Vehicle
from specs.models import Component


@edits("attachments.attach")
def attachment_new_supplier(request: SignedIn, pk: int) -> HttpResponse:
    """Keep a file with a supplier."""
    return _keep(request, find_current(Supplier, pk))


@edits("attachments.attach")
def attachment_new_job(request: SignedIn, pk: int) -> HttpResponse:
    """Keep a file with a job."""
    return _keep(request, find_current(Job, pk))


@edits("attachments.attach")
def attachment_new_vehicle(request: SignedIn, pk: int) -> HttpResponse:
    """Keep a file with a vehicle."""
    return _keep(request, find_current(Vehicle, pk))


@edits("attachments.attach")
def attachment_new_component(request: SignedIn, pk: int) -> HttpResponse:
    """Keep a file with a component."""
    return _keep(request, find_current(Component, pk))


_ADD = {
    "supplier": gettext_lazy("Add document with supplier {owner}"),
    "job": gettext_lazy("Add document with job {owner}"),
    "vehicle": gettext_lazy("Add document with vehicle {owner}"),
    "component": gettext_lazy("Add document with component {owner}"),
}


def _keep(request: SignedIn, owner: Any) -> HttpResponse:
    name = owner._meta.model_name
    title = _ADD[name].format(owner=owner)
    return keep_page(request, title=title, papers=OWNERS[name], owner=owner, keep=partial(changes.attach, owner))


@reads()
@cache_control(private=True, no_store=True)
def attachment(request: SignedIn, pk: int) -> HttpResponse:
    """The file as it was kept."""
    return give_back(request, get_object_or_404(Attachment, pk=pk))


@edits("attachments.attach")
def attachment_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Delete a document that was kept by mistake."""
    found = get_object_or_404(Attachment, pk=pk)
    return delete_page(
        request,
        found,
        delete=lambda reason: changes.delete_attachment(found, person=request.user, reason=reason, now=timezone.now()),
        of=found.owner,
    )
