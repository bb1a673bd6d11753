"""A pattern against another, and a pattern moved to another datum."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads
from shop.base.pages import create_page
from shop.base.records import find_current
from shop.measuring import changes
from shop.measuring.forms.datum import DatumForm
from shop.measuring.pattern_compare import compare
from shop.measuring.pattern_drawing import overlay_drawing
from specs.drawings import svg
from specs.queries import patterns_in_full


@reads()
def pattern_compare(request: HttpRequest, pk: int, other: int) -> HttpResponse:
    """Two measurements of a face laid on one another."""
    first = get_object_or_404(patterns_in_full(), pk=pk)
    second = get_object_or_404(patterns_in_full().filter(component=first.component_id), pk=other)
    shown = {
        "title": gettext("{first}: two measurements compared").format(first=first),
        "first": first,
        "second": second,
    }
    try:
        found = compare(list(first.holes.all()), list(second.holes.all()), first.seen_from != second.seen_from)
    except ValueError as wrong:
        return render(request, "measuring/pattern_compare.html", {**shown, "why_not": str(wrong)})
    drawn = overlay_drawing(str(first), list(first.holes.all()), list(second.holes.all()), found)
    return render(
        request,
        "measuring/pattern_compare.html",
        {**shown, "found": found, "svg": svg.write(drawn, f"compare-{pk}-{other}")},
    )


@edits("measuring.edit")
def pattern_datum(request: SignedIn, pk: int) -> HttpResponse:
    """Move a pattern to another datum: a new pattern, with the construction on record; the old one stays."""
    found = find_current(patterns_in_full(), pk)
    return create_page(
        request,
        DatumForm,
        title=gettext("Another datum for {found}").format(found=found),
        template="measuring/_pattern_form.html",
        back=found.get_absolute_url(),
        pattern=found,
        save=lambda form: changes.move_datum(
            pattern=found,
            to=form.found,
            datum=form.cleaned_data["datum"],
            person=request.user,
            located_by=form.located_by,
        ),
    )
