"""The plain questions that fitters ask, each answered on one page out of several calculations."""

from __future__ import annotations

from collections.abc import Iterable

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.access import reads, system_of
from shop.calculate.address import as_address
from shop.calculate.answer_text import Presented, present
from shop.calculate.form_fields import FormField
from shop.calculate.forms import CalculationForm, calculation_form
from shop.calculate.part_address import part_address
from shop.calculate.question_text import all_rows, counted, on_scale, pictured, verdict
from specs.engine import question as asking
from specs.engine.question import (
    Answers,
    PartAnswer,
    composed,
)


@reads()
def questions(request: HttpRequest) -> HttpResponse:
    """Every question, in the order of its words."""
    asked = [
        (question, list(dict.fromkeys(part.declared.title for part in question.parts)))
        for question in asking.questions().values()
    ]
    return render(request, "calculate/questions.html", {"questions": asked})


@reads()
def question(request: HttpRequest, name: str) -> HttpResponse:
    """One question: the form of all its parts, and their answers where the address holds the inputs."""
    asked = asking.questions().get(name)
    if asked is None:
        raise Http404(gettext("There is no question called {name}.").format(name=name))
    system = system_of(request)
    form = calculation_form(composed(name), request.GET, system)
    answers = form.answer.found if form.answer else Answers((), ())
    parts = {part.key: (part.heading, _presented(part, form)) for part in answers.parts}
    shown = {
        "title": asked.title,
        "question": asked,
        "form": form,
        "parts": parts.values(),
        "kept_as": [
            (part.heading, part.answer.calculation.name, part_address(asked, part, form)) for part in answers.parts
        ],
        "verdict": verdict(asked, parts, answers.unanswered),
        "checks": all_rows(asked, parts, answers.unanswered),
        "counted": counted(parts, answers.unanswered),
        "on_scale": on_scale(asked, parts),
        "pictured": pictured(asked, parts),
        "assumed": _once(form, parts),
        "cautions": list(dict.fromkeys(said for _, part in parts.values() for said in part.cautions)),
        "urgent": list(dict.fromkeys(said for _, part in parts.values() for said in part.urgent)),
        "short": [
            (parts[key][0], figure)
            for key, _, output in (short.partition(".") for short in asked.short)
            for figure in (parts[key][1].results if key in parts else ())
            if figure.name == output
        ],
        "example": as_address(asked.example).urlencode(),
        "run_url": reverse("calculate:question", args=[name]),
    }
    return render(request, "calculate/question.html", shown)


def _once(form: CalculationForm, parts: Iterable[str]) -> list[FormField]:
    """What was left to its default, said once where two parts take the same for the same."""
    of_parts = [field for field in form.assumed if any(field.name.startswith(f"{key}_") for key in parts)]
    return list({(field.label, field.default): field for field in of_parts}.values())


def _presented(part: PartAnswer, form: CalculationForm) -> Presented:
    banded, answer = form.banded and part.banded(form.banded), part.answer
    return present(answer.calculation, answer.given, answer.found, form.system, banded, f"part-{part.key}")
