"""Pages about parts set aside for a job."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import delete_page
from shop.base.records import find_current
from shop.jobs.changes import jobs as changes
from shop.jobs.forms.jobs import (
    FitSetAsideForm,
    SetAsideForm,
)
from shop.jobs.models import Job, SetAside
from shop.jobs.views.common import ask_about


@edits("jobs.manage")
def set_aside_new(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Job, pk)

    def do(given: dict[str, Any]) -> models.Model:
        chosen = {name: given[name] for name in ("specimen", "meant_for", "lies_in")}
        return changes.set_aside(job=found, **chosen, person=request.user)

    return ask_about(
        request, found, SetAsideForm, gettext("Set aside a part: {found}").format(found=found), gettext("Set aside"), do
    )


@edits("vehicles.manage")
def set_aside_fit(request: SignedIn, pk: int) -> HttpResponse:
    piece = find_current(SetAside.objects.select_related("job__vehicle", "specimen__component"), pk)
    now = timezone.now()

    def do(given: dict[str, Any]) -> models.Model:
        return changes.fit_set_aside(piece, place=given["place"], since=given["since"], person=request.user, now=now)

    initial = {"place": piece.meant_for, "since": timezone.localdate()}
    return ask_about(
        request,
        piece.job,
        FitSetAsideForm,
        gettext("Fit: {piece}").format(piece=piece),
        gettext("Record it as fitted"),
        do,
        initial=initial,
    )


@edits("jobs.manage")
def set_aside_delete(request: SignedIn, pk: int) -> HttpResponse:
    piece = get_object_or_404(SetAside.objects.select_related("job", "specimen__component"), pk=pk)
    return delete_page(
        request,
        piece,
        delete=lambda reason: changes.return_from_set_aside(
            piece, person=request.user, reason=reason, now=timezone.now()
        ),
        of=piece.job,
        asks=gettext("Release piece"),
        note=gettext("It is free for other jobs again. That it was set aside stays on record with your reason."),
    )
