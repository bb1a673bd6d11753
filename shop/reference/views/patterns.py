"""Hole patterns: by table, shown with their drawing, corrected."""

from __future__ import annotations

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shop.people.access import SignedIn, allowed
from shop.reference import changes
from shop.reference.filters import PatternFilters
from shop.reference.forms.calipers import CaliperForm
from shop.reference.forms.holes import MOST_TYPED
from shop.reference.forms.pattern_file import PatternFileForm
from shop.reference.forms.patterns import PatternForm
from shop.reference.pattern_compare import Comparison, compare
from shop.reference.pattern_drawing import pattern_drawing
from shop.reference.tables import Patterns
from shop.ui.lists import list_page
from shop.ui.pages import create_page, edit_page
from specs.drawings import svg
from specs.models import Component, HolePattern
from specs.queries import patterns_in_full


@require_safe
def patterns(request: HttpRequest) -> HttpResponse:
    """Every hole pattern that stands."""
    rows = HolePattern.objects.standing().select_related("component", "person").annotate(hole_count=Count("holes"))
    return list_page(request, title="Hole patterns", table=Patterns, rows=rows, filters=PatternFilters)


@require_safe
def pattern(request: HttpRequest, pk: int) -> HttpResponse:
    """One pattern: drawing, table, where it comes from."""
    found = get_object_or_404(patterns_in_full(), pk=pk)
    holes = list(found.holes.all())
    drawn = pattern_drawing(
        str(found), holes, found.outline, found.get_seen_from_display(), found.construction.get("old_origin")
    )
    shown = {
        "title": str(found),
        "pattern": found,
        "holes": holes,
        "svg": svg.write(drawn, f"pattern-{found.pk}"),
        "others": _others(found),
        "too_many": len(holes) > MOST_TYPED,
        "history": found.history.select_related("history_user")[:20],
    }
    return render(request, "reference/pattern.html", shown)


def _others(found: HolePattern) -> list[tuple[HolePattern, Comparison | None, str]]:
    """The component's other patterns, each as laid on this one; of the same face also those that cannot be, and why."""
    rows: list[tuple[HolePattern, Comparison | None, str]] = []
    standing = HolePattern.objects.standing().filter(component=found.component_id).exclude(pk=found.pk)
    for other in standing.prefetch_related("holes"):
        sides_differ = other.seen_from != found.seen_from
        try:
            rows.append((other, compare(list(found.holes.all()), list(other.holes.all()), sides_differ), ""))
        except ValueError as wrong:
            if other.face == found.face:
                rows.append((other, None, str(wrong)))
    return rows


@allowed("reference.edit")
def pattern_new(request: SignedIn, pk: int) -> HttpResponse:
    """Type a pattern hole by hole."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request,
        PatternForm,
        title=f"Add a hole pattern of {parent}",
        template="reference/pattern_form.html",
        context={"component": parent},
        component=parent,
        today=timezone.localdate(),
        save=lambda form: changes.add_hole_pattern(
            pattern=form.instance, holes=form.cleaned_data["holes"], person=request.user
        ),
    )


@allowed("reference.edit")
def pattern_load(request: SignedIn, pk: int) -> HttpResponse:
    """Take a pattern out of pasted rows or a file; a preview first, then all holes or none."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request,
        PatternFileForm,
        title=f"Load a hole pattern of {parent}",
        template="reference/pattern_load.html",
        context={"component": parent},
        component=parent,
        today=timezone.localdate(),
        save=lambda form: _keep_read(form, request),
    )


def _keep_read(form: PatternFileForm, request: SignedIn) -> HolePattern:
    form.instance.readings = form.readings
    return changes.add_hole_pattern(pattern=form.instance, holes=form.holes, person=request.user)


@allowed("reference.edit")
def pattern_calipers(request: SignedIn, pk: int) -> HttpResponse:
    """Work a pattern out of caliper readings; a preview first, then all holes or none."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request,
        CaliperForm,
        title=f"Caliper readings of {parent}",
        template="reference/pattern_calipers.html",
        context={"component": parent},
        component=parent,
        today=timezone.localdate(),
        save=lambda form: _keep_placed(form, request),
    )


def _keep_placed(form: CaliperForm, request: SignedIn) -> HolePattern:
    assert form.placed is not None
    form.instance.readings = form.placed.as_readings
    return changes.add_hole_pattern(pattern=form.instance, holes=form.placed.as_holes, person=request.user)


@allowed("reference.edit")
def pattern_change(request: SignedIn, pk: int) -> HttpResponse:
    """Correct a pattern; what it said before stays in its history."""
    record = get_object_or_404(patterns_in_full(), pk=pk)
    return edit_page(
        request,
        record,
        PatternForm,
        title=f"Correct {record}",
        template="reference/pattern_edit.html",
        component=record.component,
        today=timezone.localdate(),
        save=lambda form: changes.replace_holes(
            pattern=form.instance, holes=form.cleaned_data["holes"], person=request.user
        ),
    )
