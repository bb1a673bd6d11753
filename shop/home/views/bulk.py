"""Doing one thing to many ticked rows: asked once, then told row by row, undone by one press."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import BadRequest
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext, ngettext

from shop.base.access import SignedIn, acts, edits, reads, system_of
from shop.base.bulk import BulkAct, BulkList, bulk_lists, change_rows, undo_rows
from shop.base.models import BulkChange
from shop.base.once import write_once, written_before
from shop.base.pages import REFUSALS
from shop.base.roles import may, require
from shop.base.spreadsheets import csv_of

EXPORT = "csv"
Ticked = list[tuple[Any, str]]


@edits()
def bulk_new(request: SignedIn, name: str) -> HttpResponseBase:
    """Ask once what the ticked rows are given; with `sure` do it to each of them."""
    of = bulk_lists().get(name)
    if of is None:
        raise Http404(gettext("No list of this name has rows to tick."))
    came_from = _came_from(request)
    ticked = of.ticked(request.POST.getlist("row"))
    if request.method != "POST" or not ticked:
        messages.warning(request, gettext("Tick the rows first."))
        return redirect(came_from)
    if request.POST.get("act") == EXPORT:
        return _file(request, of, [row.pk for row, _ in ticked])
    act = of.act(request.POST.get("act", ""))
    if act is None:
        raise BadRequest(gettext("no such act"))
    require(request.user, act.action)
    return _bulk_new(request, of, act, ticked, came_from)


def _bulk_new(
    request: SignedIn, of: BulkList, act: BulkAct, ticked: list[tuple[Any, str]], came_from: str
) -> HttpResponse:
    sure = "sure" in request.POST
    request.belongs_to = came_from  # type: ignore[attr-defined]
    options: dict[str, Any] = {"system": system_of(request), "reader": request.user}
    form = act.form(request.POST if sure else None, initial=act.initial(), **options)
    if sure:
        try:
            if address := _do(request, of, act, ticked, came_from, form):
                return redirect(address)
        except tuple(REFUSALS) as reason:
            request.new_once_token_wanted = True  # type: ignore[attr-defined]
            form.add_error(None, REFUSALS[type(reason)])
    shown = {
        "title": ngettext("{words}: {ticked} row", "{words}: {ticked} rows", len(ticked)).format(
            words=act.words, ticked=len(ticked)
        ),
        "form": form,
        "act": act,
        "came_from": came_from,
        "rows": [(row, f"{row.pk}:{state}") for row, state in ticked],
    }
    return render(request, "home/bulk_new.html", shown)


def _do(request: SignedIn, of: BulkList, act: BulkAct, ticked: Ticked, came_from: str, form: Any) -> str | None:
    """Write the change once, however often the button is pressed, then do it to the rows; None for a faulty form."""
    if not form.is_valid():
        return written_before(request)
    now, made = timezone.now(), list[BulkChange]()

    def write() -> BulkChange:
        words = {"of": of.name, "act": act.name, "words": act.words, "came_from": came_from}
        made.append(BulkChange.objects.create(**words, person_id=request.user.pk, at=now))
        return made[0]

    address = write_once(request, write, redirect_to=lambda change: reverse("home:bulk-change", args=[change.pk]))
    for change in made:
        change_rows(change, of=of, act=act, ticked=ticked, answers=form.cleaned_data, person=request.user, now=now)
    return address


def _file(request: SignedIn, of: BulkList, keys: list[int]) -> HttpResponseBase:
    table = of.table(of.rows().filter(pk__in=keys), timezone.localdate())
    table.leave_out_for(request.user)
    table.request = request
    return csv_of(table, name=of.name.replace(".", "-"))


def _came_from(request: SignedIn) -> str:
    before = request.POST.get("came_from", "")
    own = url_has_allowed_host_and_scheme(before, {request.get_host()}) and before.startswith("/")
    return before if own else reverse("home:today")


@reads()
def bulk_change(request: SignedIn, pk: int) -> HttpResponse:
    """What was done to many rows, which were left as they were and why, and the one press that undoes it."""
    change = get_object_or_404(BulkChange.objects.select_related("person", "undone_by"), pk=pk)
    act = _act(change)
    request.belongs_to = change.came_from  # type: ignore[attr-defined]
    context = {
        "title": gettext("{words}: {done} of {done_2} done").format(
            words=change.words, done=len(change.done), done_2=len(change.done) + len(change.refused)
        ),
        "change": change,
        "can_undo": change.done and change.undone_at is None and act is not None and may(request.user, act.action),
    }
    return render(request, "home/bulk_change.html", context)


@acts()
def bulk_undo(request: SignedIn, pk: int) -> HttpResponse:
    """Take back all that one change did."""
    change, act = get_object_or_404(BulkChange, pk=pk), None
    act = _act(change)
    if act is None:
        raise Http404(gettext("This is not undone here any more."))
    undo_rows(change, of=bulk_lists()[change.of], act=act, person=request.user, now=timezone.now())
    return redirect("home:bulk-change", pk=pk)


def _act(change: BulkChange) -> BulkAct | None:
    of = bulk_lists().get(change.of)
    return of.act(change.act) if of else None
