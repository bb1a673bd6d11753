"""Running a calculation without keeping anything."""

from __future__ import annotations

from itertools import groupby

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from shop.reference.forms import as_address, calculation_form
from shop.reference.presenting import present
from shop.ui.reader import system_of
from specs.registry import calculations, find


@require_safe
def calculation_list(request: HttpRequest) -> HttpResponse:
    """Every calculation under its area, with the plain question that it answers."""
    ordered = sorted(calculations().values(), key=lambda calculation: (calculation.area, calculation.title))
    areas = [(area, list(those)) for area, those in groupby(ordered, key=lambda calculation: calculation.area)]
    return render(request, "reference/calculations.html", {"title": "Calculations", "areas": areas})


@require_safe
def calculation(request: HttpRequest, name: str) -> HttpResponse:
    """One calculation: its form, and its answer where the address holds the inputs."""
    found = find(name)
    if found is None:
        raise Http404(f"There is no calculation called {name}.")
    system = system_of(request)
    form = calculation_form(found, request.GET, system)
    answer = form.answer
    shown = {
        "title": found.title,
        "calculation": found,
        "form": form,
        "presented": answer and present(found, answer.given, answer.found, system),
        "example": as_address(found.example).urlencode(),
        "run_url": reverse("calculations:run", args=[name]),
    }
    return render(request, "reference/calculation.html", shown)
