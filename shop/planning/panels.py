"""The blocks of the first page that look ahead: vehicles, own work, late parts, what arrives."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import BUYER, FITTER, MACHINIST, OWNER, may
from shop.base.rows import Row
from shop.jobs.standing import every_job
from shop.orders.held_up import Held
from shop.orders.models import OrderLine
from shop.orders.rules import is_overdue
from shop.orders.text import day
from shop.planning.forecast_text import vehicle_bars
from shop.planning.inputs import ShopForecast, read_shop
from shop.planning.late import late_today
from shop.planning.late_text import chase_is_due, how_late, said_of
from shop.planning.outlook import Outlook, outlook
from shop.planning.ready import ReadyJob, ready_jobs
from shop.planning.ready_text import work_row

MOST = 6
BENCH, OFFICE = frozenset({FITTER, MACHINIST}), frozenset({OWNER, BUYER})
SOON = timedelta(days=7)


def vehicles(reader: Viewer) -> Block:
    """Each vehicle with an open job as a bar over time: today, as likely as not, 80 % sure, wanted."""
    known = reader.once_for(_known)
    bars = vehicle_bars(reader.once_for(_shop), known)
    link = (reverse("planning:forecast"), gettext("Forecast"))
    return Block((), len(bars), gettext("No job is open."), link, more=bars, note=known.words if known else "")


def own_work(reader: Viewer) -> Block | None:
    """The steps that are ready for the reader, what is begun first; None for those of the office who have none."""
    steps = [(one.job, step) for one in _ready(reader) for step in one.ready]
    if not steps and reader.roles and not reader.roles & BENCH:
        return None
    steps.sort(key=lambda found: (reader.person not in found[1].running, not found[1].begun))
    shown = enumerate(steps[:MOST])
    rows = tuple(work_row(step, reader.person, place=str(job.vehicle), first=not n) for n, (job, step) in shown)
    link = (reverse("planning:ready"), gettext("All ready work"))
    return Block(
        rows, len(steps), gettext("Nothing is ready for you now: all ready work says what waits, and on what."), link
    )


def _ready(reader: Viewer) -> list[ReadyJob]:
    return ready_jobs(reader.today, reader.person, reader.roles, reader.once(every_job))


def _shop(reader: Viewer) -> ShopForecast:
    return read_shop(reader.today, every=reader.once(every_job))


def _known(reader: Viewer) -> Outlook | None:
    return outlook(reader.once_for(_shop))


def _late_lines(reader: Viewer) -> tuple[list[OrderLine], dict[int, Held]]:
    return late_today(reader.today, reader.once(every_job), read_shop, reader.once_for(_known))


def late_for_the_office(reader: Viewer) -> Block:
    """The overdue lines in the order of the list of late parts, first what delays a job most, with the next act."""
    lines, held = reader.once_for(_late_lines)
    rows = tuple(_office_row(line, held.get(line.pk), reader) for line in lines[:MOST])
    return _late_block(rows, len(lines), reader)


def late_for_the_bench(reader: Viewer) -> Block:
    """The same lines in the same order, with the work that each holds up."""
    lines, held = reader.once_for(_late_lines)
    rows = tuple(_bench_row(line, held.get(line.pk), reader.today) for line in lines[:MOST])
    return _late_block(rows, len(lines), reader)


def _late_block(rows: tuple[Row, ...], number: int, reader: Viewer) -> Block:
    known = reader.once_for(_known)
    return Block(
        rows,
        number,
        gettext("Nothing is past the day promised for it, and no supplier is silent."),
        (reverse("planning:late"), gettext("All late parts")),
        note=known.words if known and rows else "",
    )


def _office_row(line: OrderLine, held: Held | None, reader: Viewer) -> Row:
    act, to = _next_act(line, reader)
    figure, under = _delay(line, held, reader.today)
    at = line.get_absolute_url()
    late = is_overdue(line.as_rule(), reader.today)
    mark = "late" if late else "waiting"
    return Row(mark, line.what, at, said_of(line, reader.today), figure, under, red=late, act=act, to=to)


def _delay(line: OrderLine, held: Held | None, today: date) -> tuple[str, str]:
    """What the line costs a job where a forecast knows it; else how late the line itself is, and whom that holds."""
    if held and held.days:
        return held.days_late, gettext("delay to {value}").format(value=held.job.vehicle.model)
    holds = gettext("holds up {value}").format(value=held.job.vehicle.model) if held else gettext("holds up no job")
    figure, word = how_late(line.as_rule(), today)
    return figure, f"{word}, {holds}"


def _next_act(line: OrderLine, reader: Viewer) -> tuple[str, str]:
    """Chase where it is time to ask; where the shop asked and waits for the answer, weigh buying elsewhere."""
    if chase_is_due(line, reader.today):
        return _if_may(reader, "orders.chase", gettext("Chase"), reverse("orders:chase-new", args=[line.order_id]))
    return _if_may(reader, "planning.choose", gettext("Wait or buy"), reverse("planning:wait-or-buy", args=[line.pk]))


def _if_may(reader: Viewer, action: str, act: str, to: str) -> tuple[str, str]:
    return (act, to) if may(reader.person, action) else ("", "")


def _bench_row(line: OrderLine, held: Held | None, today: date) -> Row:
    note = (
        gettext("Holds up {vehicle}: {step}").format(vehicle=held.job.vehicle.short_name, step=held.steps[0])
        if held
        else gettext("Holds up no job")
    )
    figure, word = how_late(line.as_rule(), today)
    late = is_overdue(line.as_rule(), today)
    return Row("late" if late else "waiting", line.what, line.get_absolute_url(), note, figure, word, red=late)


def arriving(reader: Viewer) -> Block:
    """Lines promised for the coming week, the soonest first."""
    lines = list(_arriving(reader.today))
    receive = may(reader.person, "orders.receive")
    rows = tuple(_arrival_row(line, reader.today, receive) for line in lines[:MOST])
    return Block(
        rows,
        len(lines),
        gettext("Nothing is promised for this week."),
        (reverse("orders:orders"), gettext("All orders")),
    )


def _arriving(today: date) -> Any:
    due = OrderLine.objects.expected_to_come().filter(expected__range=(today, today + SOON))
    return due.select_related("order__supplier", "component").order_by("expected", "pk")


def _arrival_row(line: Any, today: date, receive: bool) -> Row:
    act, to = (
        (gettext("Record delivery"), reverse("orders:delivery-new", args=[line.order_id])) if receive else ("", "")
    )
    return Row(
        "waiting",
        line.what,
        line.get_absolute_url(),
        str(line.order.supplier),
        day(line.expected, today),
        act=act,
        to=to,
    )


PANELS = [
    Panel(
        gettext_lazy("Vehicles"),
        5,
        vehicles,
        roles=frozenset({OWNER}),
        across=True,
        template="planning/_panel_vehicles.html",
        moves=True,
    ),
    Panel(gettext_lazy("Your work"), 10, own_work),
    Panel(gettext_lazy("Late parts"), 20, late_for_the_office, roles=OFFICE, moves=True),
    Panel(gettext_lazy("Arriving this week"), 25, arriving, roles=frozenset({BUYER}), aside=True),
    Panel(gettext_lazy("Late parts"), 40, late_for_the_bench, roles=BENCH, aside=True, moves=True),
]
