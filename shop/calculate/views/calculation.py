"""Running a calculation without keeping anything."""

from __future__ import annotations

from itertools import groupby

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.access import edits, reads, system_of
from shop.calculate.address import as_address
from shop.calculate.answer_text import present
from shop.calculate.forms import calculation_form
from specs.engine.calculation import calculations as all_calculations
from specs.engine.calculation import find

# Servers and proxies refuse addresses beyond about 4,000 letters.
LONGEST_ADDRESS = 3_500


@reads()
def calculations(request: HttpRequest) -> HttpResponse:
    """Every calculation under its area, with the plain question that it answers."""
    ordered = sorted(all_calculations().values(), key=lambda calculation: (calculation.area, calculation.title))
    areas = [(area, list(those)) for area, those in groupby(ordered, key=lambda calculation: calculation.area)]
    return render(request, "calculate/calculations.html", {"title": gettext("Calculations"), "areas": areas})


@edits()
def calculation(request: HttpRequest, name: str) -> HttpResponse:
    """One calculation: its form, and its answer where the address holds the inputs.

    A form with tables is posted, for their rows may outgrow an address; where they do not, it lands on one all the
    same, so that the result can be linked.
    """
    found = find(name)
    if found is None:
        raise Http404(gettext("There is no calculation called {name}.").format(name=name))
    system = system_of(request)
    run_url = reverse("calculate:calculation", args=[name])
    posted = request.method == "POST"
    form = calculation_form(found, request.POST if posted else request.GET, system)
    if posted and len(form.address) <= LONGEST_ADDRESS:
        return redirect(f"{run_url}?{form.address}")
    answer = form.answer
    shown = {
        "title": found.title,
        "calculation": found,
        "form": form,
        "presented": answer and present(found, answer.given, answer.found, system, form.banded),
        "assumed": form.assumed,
        "example": as_address(found.example).urlencode(),
        "run_url": run_url,
        "posts": form.has_tables,
        "too_long_to_link": posted,
    }
    return render(request, "calculate/calculation.html", shown)
