"""The blocks of the first page that speak of orders: what is late and what each holds up, and whom to ask again."""

from __future__ import annotations

from datetime import date
from typing import Any

from shop.base.panels import Panel
from shop.orders.held_up import holds
from shop.orders.models import Chase, OrderLine
from shop.orders.text import status_words

MOST = 5


def late(person: Any, today: date) -> dict[str, Any]:
    """The overdue lines, first what holds up most steps; what each costs the finish stands on the late page."""
    lines = list(OrderLine.objects.overdue(today).with_story())
    held = holds(lines, today)
    lines.sort(key=lambda line: (-len(held[line.pk].steps) if line.pk in held else 0, line.due))
    shown = [(line, status_words(line.as_rule(), today), held.get(line.pk)) for line in lines[:MOST]]
    return {"lines": shown, "more": max(0, len(lines) - MOST)}


def to_chase(person: Any, today: date) -> dict[str, Any]:
    """Orders with something to come that the shop meant to ask about again by today, the longest due first."""
    waiting = OrderLine.objects.to_come().values("order")
    chases = Chase.objects.active().filter(order__in=waiting).select_related("order__supplier").order_by("on", "pk")
    last = {chase.order_id: chase for chase in chases}
    due = [chase for chase in last.values() if chase.ask_again_on and chase.ask_again_on <= today]
    due.sort(key=lambda chase: (chase.ask_again_on, chase.pk))
    return {"chases": due[:MOST], "more": max(0, len(due) - MOST)}


PANELS = [
    Panel("Late parts", order=20, template="orders/_panel_late.html", read=late),
    Panel("Chase", order=25, template="orders/_panel_chase.html", read=to_chase),
]
