"""Ready work, the forecast, and the choice to wait or to buy elsewhere."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from shop.orders.models import OrderLine
from shop.orders.showing import show_line
from shop.people.access import SignedIn, allowed
from shop.people.roles import roles_of
from shop.planning import changes
from shop.planning.choice import ASSUMPTIONS as CHOICE_ASSUMPTIONS
from shop.planning.choice import Comparison, Elsewhere, compare
from shop.planning.forecast import ASSUMPTIONS
from shop.planning.forms import DecideForm, ElsewhereForm
from shop.planning.models import Choice
from shop.planning.ready import ready_jobs
from shop.planning.showing import forecast_picture, part_words, show_finishes
from shop.planning.situation import SEED, Reading, read_shop
from shop.ui.money import to_cents
from shop.ui.pages import create_page
from specs.drawings import svg


@require_safe
def ready(request: SignedIn) -> HttpResponse:
    """What can be worked on now. `?for=all` shows everybody's work, else the reader's own."""
    everybody = request.GET.get("for") == "all"
    person = None if everybody else request.user
    jobs = ready_jobs(timezone.localdate(), person, roles_of(request.user))
    return render(request, "planning/ready.html", {"title": "Ready", "jobs": jobs, "everybody": everybody})


@require_safe
def forecast(request: SignedIn) -> HttpResponse:
    """When each vehicle will be done, what decides it, and what moves if one part comes a week sooner."""
    today = timezone.localdate()
    reading = read_shop(today)
    finishes = show_finishes(reading)
    drawn = forecast_picture(finishes, today)
    shown = {
        "title": "Forecast",
        "finishes": finishes,
        "stopped": [(reading.jobs[key], words) for key, words in reading.stopped.items()],
        "sooner": _sooner(reading),
        "assumptions": [*ASSUMPTIONS, *_own_assumptions(reading)],
        "hours": reading.hours.words,
        "draws": reading.forecast.situation.draws,
        "svg": svg.write(drawn, "forecast") if drawn else "",
    }
    return render(request, "planning/forecast.html", shown)


def _sooner(reading: Reading) -> list[dict[str, Any]]:
    """For each awaited part the days by which its job's finish moves if it came a week sooner, the largest first."""
    now = reading.forecast.finishes
    rows = []
    for part in reading.forecast.situation.arrivals:
        need: int = part[1]
        line = reading.lines.get(need)
        if line and line.part_need:
            job = line.part_need.step.job_id
            moved = reading.forecast.with_part_sooner(("part", need)).finishes[job]
            days = (now[job].p80 - moved.p80).days
            rows.append({"part": part_words(reading, need), "line": line, "job": reading.jobs[job], "days": days})
    return sorted(rows, key=lambda row: -row["days"])


def _own_assumptions(reading: Reading) -> list[str]:
    hours = reading.forecast.situation.shop.day / 60
    said = [
        f"A pair of hands works {hours:g} hours on a working day.",
        "Decisions and worksheets that steps wait for are made today.",
    ]
    said += [f"Nobody is a {trade}: counted as one pair of hands." for trade in reading.trades_alone]
    if reading.unordered:
        parts = "; ".join(reading.unordered.values())
        said.append(f"Not ordered yet, taken as ordered today and as long on the way as past orders were: {parts}.")
    return said


@allowed("planning.choose")
def choice(request: SignedIn, pk: int) -> HttpResponse:
    """Keep waiting for a line, or buy it elsewhere: both ways side by side, and the decision with its reason."""
    line = get_object_or_404(OrderLine.objects.standing().with_state().with_story(), pk=pk)
    asked = {name: value for name, value in request.GET.items() if name in ElsewhereForm.base_fields}
    form = ElsewhereForm(request.GET if asked else None, line=line, initial=_initial(line))
    outstanding = line.order.taxed(to_cents(line.left * line.price))
    shown = {
        "line": line,
        "outstanding": outstanding.words(settings.SHOP_CURRENCY),
        "shown": show_line(line, timezone.localdate()),
        "filter_form": form,
        "earlier": Choice.objects.filter(line=line).select_related("person", "other", "bought"),
        "assumptions": [*CHOICE_ASSUMPTIONS, *ASSUMPTIONS],
    }
    title = f"Wait for {line}, or buy elsewhere?"
    if not (asked and form.is_valid()):
        return render(request, "planning/choice.html", {**shown, "title": title})
    comparison = _compare(line, form.cleaned_data)
    return create_page(
        request,
        DecideForm,
        title=title,
        save=lambda decided: _decide(request, line, form.cleaned_data, comparison, decided),
        land=_land,
        template="planning/choice.html",
        context={**shown, "comparison": comparison, "comparison_words": comparison.words(settings.SHOP_CURRENCY)},
        other=form.cleaned_data["other"],
    )


def _initial(line: OrderLine) -> dict[str, Any]:
    return {"price": line.price, "restocking": Decimal("0"), "deposit_lost": line.order.deposit}


def _compare(line: OrderLine, asked: dict[str, Any]) -> Comparison:
    import numpy as np

    reading = read_shop(timezone.localdate())
    other = Elsewhere(
        supplier=str(asked["other"]),
        record=reading.history.record(asked["other"].pk),
        lead_days=asked["lead_days"],
        price_difference=(asked["price"] - line.price) * line.left,
        restocking=asked["restocking"],
        deposit_lost=asked["deposit_lost"],
    )
    need = line.part_need
    job = need.step.job_id if need and not need.step.is_finished else None
    rng = np.random.default_rng(SEED)
    return compare(reading.forecast, ("part", line.part_need_id), job, reading.waiting(line), other, rng)


def _decide(
    request: SignedIn, line: OrderLine, asked: dict[str, Any], comparison: Comparison, decided: DecideForm
) -> Choice:
    kept = {"line": line, "other": asked["other"], "comparison": comparison, "person": request.user}
    reason = decided.cleaned_data["reason"]
    if decided.cleaned_data["chosen"] == DecideForm.WAIT:
        return changes.keep_waiting(**kept, reason=reason)
    money_back = max(Decimal("0"), line.order.deposit - asked["deposit_lost"] - asked["restocking"])
    return changes.buy_elsewhere(
        **kept,
        reason=reason,
        lead_days=asked["lead_days"],
        price=asked["price"],
        money_back=money_back,
        today=timezone.localdate(),
    )


def _land(choice: Choice) -> str:
    if choice.bought_id is None:
        return choice.line.get_absolute_url()
    return reverse("orders:order", args=[choice.bought_id])
