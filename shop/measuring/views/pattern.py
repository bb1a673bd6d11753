"""Hole patterns: by table, shown with their drawing, corrected."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads
from shop.base.filters import rows_asked
from shop.base.language import capfirst
from shop.base.lists import list_page
from shop.base.pages import create_page, edit_page
from shop.base.roles import NAMES
from shop.base.rows import Row
from shop.base.written import day, decimals
from shop.measuring import changes
from shop.measuring.filters import PatternFilters
from shop.measuring.forms.calipers import CaliperForm
from shop.measuring.forms.holes import MOST_TYPED
from shop.measuring.forms.pattern_file import PatternFileForm
from shop.measuring.forms.patterns import PatternForm
from shop.measuring.pattern_compare import PatternComparison, compare
from shop.measuring.pattern_drawing import pattern_drawing
from shop.measuring.tables import Patterns
from shop.measuring.views.common import delete_with_reason
from specs.drawings import svg
from specs.models import Component, DeletableQuerySet, Hole, HolePattern
from specs.phrase import joined
from specs.queries import patterns_in_full
from specs.row_queries import number_of, put_together_once

_NOT_LISTED = ("specimen", "seen_from", "instrument", "notes", "outline", "readings", "derived_from", "construction")


@put_together_once
def _listed() -> DeletableQuerySet:
    """Every hole pattern with what its line in the list says."""
    rows = HolePattern.objects.annotate(hole_count=number_of(Hole.objects.all(), "pattern"))
    rows = rows.with_only("component", "maker", "name").with_only("person", *NAMES)
    return rows.defer(*_NOT_LISTED)


@reads()
def patterns(request: HttpRequest) -> HttpResponse:
    """Every hole pattern that stands."""
    rows = rows_asked(request, _listed())
    return list_page(request, title=gettext("Hole patterns"), table=Patterns, rows=rows, filters=PatternFilters)


@reads()
def pattern(request: HttpRequest, pk: int) -> HttpResponse:
    """One pattern: drawing, table, where it comes from."""
    found = get_object_or_404(patterns_in_full(), pk=pk)
    holes = list(found.holes.all())
    others = _others(found)
    drawn = pattern_drawing(
        str(found), holes, found.outline, found.get_seen_from_display(), found.construction.get("old_origin")
    )
    shown = {
        "title": str(found),
        "pattern": found,
        "holes": holes,
        "svg": svg.write(drawn, f"pattern-{found.pk}"),
        "others": [_other_row(found, *other) for other in others],
        "mirrored": sum(laid.mirrored for other, laid, _ in others if laid and other.face == found.face),
        "too_many": len(holes) > MOST_TYPED,
        "history": found.history.select_related("history_user")[:20],
    }
    return render(request, "measuring/pattern.html", shown)


def _others(found: HolePattern) -> list[tuple[HolePattern, PatternComparison | None, str]]:
    """The component's other patterns, each as laid on this one; of the same face also those that cannot be, and why."""
    rows: list[tuple[HolePattern, PatternComparison | None, str]] = []
    status = HolePattern.objects.active().filter(component=found.component_id).exclude(pk=found.pk)
    for other in status.select_related("person").prefetch_related("holes"):
        sides_differ = other.seen_from != found.seen_from
        try:
            rows.append((other, compare(list(found.holes.all()), list(other.holes.all()), sides_differ), ""))
        except ValueError as wrong:
            if other.face == found.face:
                rows.append((other, None, str(wrong)))
    return rows


def _other_row(found: HolePattern, other: HolePattern, laid: PatternComparison | None, why_not: str) -> Row:
    """Another measurement of the component, and how it agrees with this one."""
    by = other.person.get_full_name() or other.person.get_username()
    note = joined(", ", [day(other.measured_on), other.get_method_display(), by])
    address = reverse("measuring:pattern-compare", args=[found.pk, other.pk])
    name = capfirst(other.face)
    if laid is None:
        return Row("waiting", name, address, f"{note} · {why_not}", gettext("not comparable"))
    if laid.mirrored:
        return Row("check", name, address, note, gettext("looks mirrored"), red=True)
    off = f"{decimals(laid.worst.off, '3u')} mm"
    return Row("", name, address, note, off, gettext("off at most, at {name}").format(name=laid.worst.name))


@edits("measuring.edit")
def pattern_new(request: SignedIn, pk: int) -> HttpResponse:
    """Type a pattern hole by hole."""
    return _add(request, pk, PatternForm, gettext("Add hole pattern to"), "measuring/_pattern_form.html", _typed)


@edits("measuring.edit")
def pattern_load(request: SignedIn, pk: int) -> HttpResponse:
    """Take a pattern out of pasted rows or a file; a preview first, then all holes or none."""
    return _add(request, pk, PatternFileForm, gettext("Load hole pattern of"), "measuring/pattern_load.html", _read)


@edits("measuring.edit")
def pattern_calipers(request: SignedIn, pk: int) -> HttpResponse:
    """Work a pattern out of caliper readings; a preview first, then all holes or none."""
    return _add(request, pk, CaliperForm, gettext("Caliper readings of"), "measuring/pattern_calipers.html", _placed)


def _add(
    request: SignedIn,
    pk: int,
    form: type[PatternForm | PatternFileForm | CaliperForm],
    title: str,
    template: str,
    holes_of: Callable[[Any], Iterable[Mapping[str, Any]]],
) -> HttpResponse:
    """Add a pattern to a component, with the holes of a valid form."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request,
        form,
        title=f"{title} {parent}",
        template=template,
        context={"component": parent},
        component=parent,
        today=timezone.localdate(),
        save=lambda form: changes.add_hole_pattern(pattern=form.instance, holes=holes_of(form), person=request.user),
    )


def _typed(form: PatternForm) -> Iterable[Mapping[str, Any]]:
    holes: Iterable[Mapping[str, Any]] = form.cleaned_data["holes"]
    return holes


def _read(form: PatternFileForm) -> Iterable[Mapping[str, Any]]:
    form.instance.readings = form.readings
    return form.holes


def _placed(form: CaliperForm) -> Iterable[Mapping[str, Any]]:
    assert form.placed is not None
    form.instance.readings = form.placed.as_readings
    return form.placed.as_holes


@edits("measuring.edit")
def pattern_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Correct a pattern; what it said before stays in its history."""
    record = get_object_or_404(patterns_in_full(), pk=pk)
    return edit_page(
        request,
        record,
        PatternForm,
        title=gettext("Edit {record}").format(record=record),
        template="measuring/pattern_edit.html",
        component=record.component,
        today=timezone.localdate(),
        save=lambda form: changes.replace_holes(
            pattern=form.instance, holes=form.cleaned_data["holes"], person=request.user
        ),
    )


@edits("measuring.judge")
def pattern_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Delete a hole pattern, with a reason."""
    return delete_with_reason(request, get_object_or_404(HolePattern, pk=pk))
