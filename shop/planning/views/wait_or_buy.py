"""Ready work, the forecast, and the choice to wait or to buy elsewhere."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.money import to_cents
from shop.base.pages import create_page
from shop.base.records import find_current
from shop.jobs.standing import every_job
from shop.orders.line_history import show_line
from shop.orders.models import OrderLine
from shop.planning import changes
from shop.planning.comparison import ASSUMPTIONS as CHOICE_ASSUMPTIONS
from shop.planning.comparison import Elsewhere, WaitOrBuy, compare
from shop.planning.finish_forecast import ASSUMPTIONS
from shop.planning.forms import ElsewhereForm, WaitOrBuyForm
from shop.planning.inputs import SEED, read_shop
from shop.planning.models import Choice
from specs.apart import done_apart


@edits("planning.choose")
def wait_or_buy(request: SignedIn, pk: int) -> HttpResponse:
    """Keep waiting for a line, or buy it elsewhere: both ways side by side, and the decision with its reason."""
    line = find_current(OrderLine.objects.with_story(), pk)
    asked = {name: value for name, value in request.GET.items() if name in ElsewhereForm.base_fields}
    form = ElsewhereForm(request.GET if asked else None, line=line, initial=_initial(line))
    outstanding = line.order.taxed(to_cents(line.left * line.price_in_ours))
    context = {
        "line": line,
        "outstanding": outstanding.words(settings.SHOP_CURRENCY),
        "shown": show_line(line, timezone.localdate()),
        "filter_form": form,
        "earlier": Choice.objects.filter(line=line).select_related("person", "other", "bought"),
        "assumptions": [*CHOICE_ASSUMPTIONS, *ASSUMPTIONS],
    }
    title = gettext("Wait for {line}, or buy elsewhere?").format(line=line)
    if not (asked and form.is_valid()):
        return render(request, "planning/wait_or_buy.html", {**context, "title": title})
    comparison = _compare(line, form.cleaned_data)
    return create_page(
        request,
        WaitOrBuyForm,
        title=title,
        save=lambda decided: _decide(request, line, form.cleaned_data, comparison, decided),
        redirect_to=_after,
        template="planning/wait_or_buy.html",
        context={
            **context,
            "comparison": comparison,
            "comparison_words": comparison.words(settings.SHOP_CURRENCY),
            "bay_cost": form.cleaned_data["bay_cost"],
        },
        other=form.cleaned_data["other"],
    )


def _initial(line: OrderLine) -> dict[str, Any]:
    deposit = line.order.in_ours(line.order.deposit)
    return {"price": line.price_in_ours, "restocking": Decimal("0"), "deposit_lost": deposit}


@done_apart
def _compare(line: OrderLine, asked: dict[str, Any]) -> WaitOrBuy:
    import numpy as np

    today = timezone.localdate()
    reading = read_shop(today, every=every_job(today))
    other = Elsewhere(
        supplier=str(asked["other"]),
        record=reading.history.record(asked["other"].pk),
        lead_days=asked["lead_days"],
        price_difference=(asked["price"] - line.price_in_ours) * line.left,
        restocking=asked["restocking"],
        deposit_lost=asked["deposit_lost"],
    )
    need = line.part_need
    job = need.step.job_id if need and not need.step.is_finished else None
    rng = np.random.default_rng(SEED)
    part, waiting = ("part", line.part_need_id), reading.waiting(line)
    return compare(reading.forecast, part, job, waiting, other, rng, asked["bay_cost"])


def _decide(
    request: SignedIn, line: OrderLine, asked: dict[str, Any], comparison: WaitOrBuy, decided: WaitOrBuyForm
) -> Choice:
    decision = {"line": line, "other": asked["other"], "comparison": comparison, "person": request.user}
    reason = decided.cleaned_data["reason"]
    if decided.cleaned_data["chosen"] == WaitOrBuyForm.WAIT:
        return changes.keep_waiting(**decision, reason=reason)
    money_back = max(Decimal("0"), line.order.deposit - asked["deposit_lost"] - asked["restocking"])
    return changes.buy_elsewhere(
        **decision,
        reason=reason,
        lead_days=asked["lead_days"],
        price=asked["price"],
        money_back=money_back,
        today=timezone.localdate(),
    )


def _after(choice: Choice) -> str:
    if choice.bought_id is None:
        return choice.line.get_absolute_url()
    return reverse("orders:order", args=[choice.bought_id])
