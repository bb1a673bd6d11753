"""The plain questions that fitters ask, each answered on one page out of several calculations."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from shop.reference.forms import as_address, calculation_form
from shop.reference.presenting import Presented, present
from shop.ui.reader import system_of
from specs.question import Answers, PartAnswer, composed, questions
from specs.units import System


@require_safe
def question_list(request: HttpRequest) -> HttpResponse:
    """Every question, in the order of its words."""
    return render(request, "reference/questions.html", {"questions": questions().values()})


@require_safe
def question(request: HttpRequest, name: str) -> HttpResponse:
    """One question: the form of all its parts, and their answers where the address holds the inputs."""
    asked = questions().get(name)
    if asked is None:
        raise Http404(f"There is no question called {name}.")
    system = system_of(request)
    form = calculation_form(composed(name), request.GET, system)
    answers = form.answer.found if form.answer else Answers((), ())
    parts = {part.key: (part.heading, _presented(part, form.system)) for part in answers.parts}
    shown = {
        "title": asked.title,
        "question": asked,
        "form": form,
        "parts": parts.values(),
        "short": [
            (parts[key][0], figure)
            for key, _, output in (short.partition(".") for short in asked.short)
            for figure in (parts[key][1].results if key in parts else ())
            if figure.name == output
        ],
        "unanswered": answers.unanswered,
        "example": as_address(asked.example).urlencode(),
        "run_url": reverse("questions:ask", args=[name]),
    }
    return render(request, "reference/question.html", shown)


def _presented(part: PartAnswer, system: System) -> Presented:
    return present(part.answer.calculation, part.answer.given, part.answer.found, system, mark=f"part-{part.key}")
