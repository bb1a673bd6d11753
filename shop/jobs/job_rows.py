"""A job's steps, parts and checks as rows, with the act that comes next."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext, gettext_noop, ngettext

from shop.base import written
from shop.base.language import capfirst, word
from shop.base.roles import may
from shop.base.rows import Row
from shop.jobs.models import Step
from shop.jobs.rules import NeedState, PartFact, StepState
from shop.worksheets.rules import WorksheetState, WorksheetStatus
from shop.worksheets.today import Brief

MARKS = {
    StepState.READY: "ready",
    StepState.WAITING: "waiting",
    StepState.CANNOT: "late",
    StepState.CHECK: "check",
    StepState.DONE: "done",
}


def open_step_rows(steps: Iterable[tuple[Step, Any]], person: Any) -> list[Row]:
    """The steps that are not done: to be checked again, then ready with their button, then waiting, each in order."""
    shown = [(step, status) for step, status in steps if status.state is not StepState.DONE]
    shown.sort(key=lambda found: (found[1].state is not StepState.CHECK, found[1].state is not StepState.READY))
    first = next((step.pk for step, status in shown if status.state is StepState.READY), None)
    return [_open_step(step, status, person, first=step.pk == first) for step, status in shown]


def _open_step(step: Step, status: Any, person: Any, *, first: bool) -> Row:
    ready = status.state is StepState.READY
    start = ready and not step.running_count and may(person, "jobs.work")
    press = reverse("jobs:step-start", args=[step.pk]) if start else ""
    left = max(step.hours_estimated - step.hours_logged, step.hours_estimated * 0)
    who = (step.person.get_full_name() or str(step.person)) if step.person else word(step.role)
    return Row(
        MARKS[status.state],
        step.title,
        step.get_absolute_url(),
        (gettext("being worked on · ") if step.running_count else "") + (who if ready else _in_short(status)),
        _hours(left),
        gettext("left") if left and step.hours_logged else "",
        red=status.state is StepState.CHECK,
        act=(gettext("Continue") if step.time_entry_count else gettext("Start")) if press else "",
        post=press,
        first=first,
    )


NEXT_SHOWN = 8


def part_rows(parts: Iterable[tuple[Any, PartFact]], person: Any, today: date) -> list[tuple[str, list[Row]]]:
    """The parts of a job in groups: late ones, those not ordered yet, on the way, here; empty groups left out.

    A person who may is led from a late part to asking for it, and from one that is not ordered to an order that is
    filled in with it.
    """
    order, chase = may(person, "orders.order"), may(person, "orders.chase")
    groups: dict[str, list[Row]] = {name: [] for name in PART_GROUPS}
    for need, fact in parts:
        group = _part_group(need, fact)
        late = (today - fact.expected).days if group == "late" and fact.expected else 0
        groups[group].append(_late_part(need, late, chase) if late > 0 else _part(need, fact, group, order))
    return [(name, rows) for name, rows in groups.items() if rows]


NOT_ORDERED, ON_THE_WAY, HERE = gettext_noop("not ordered yet"), gettext_noop("on the way"), gettext_noop("here")
PART_GROUPS = (gettext_noop("late"), gettext_noop("impossible"), NOT_ORDERED, ON_THE_WAY, HERE)


def _part_group(need: Any, fact: PartFact) -> str:
    if fact.state is NeedState.MET:
        return HERE
    if fact.state is NeedState.NEVER:
        return "impossible"
    ordered = any(not line.order.is_deleted for line in need.order_lines.all())
    return "late" if fact.overdue else ON_THE_WAY if ordered else NOT_ORDERED


def _line(need: Any) -> Any:
    return next((line for line in need.order_lines.all() if not line.order.is_deleted), None)


def _late_part(need: Any, late: int, may_chase: bool) -> Row:
    line = _line(need)
    note = gettext("{supplier} · for {step}").format(supplier=line.order.supplier, step=need.step)
    to = reverse("orders:chase-new", args=[line.order_id]) if may_chase else ""
    days = ngettext("{late} day", "{late} days", late).format(late=late)
    at, act = line.get_absolute_url(), gettext("Chase") if to else ""
    return Row("late", capfirst(str(need)), at, note, days, gettext("late"), red=True, act=act, to=to)


def _part(need: Any, fact: PartFact, group: str, may_order: bool) -> Row:
    line = _line(need)
    mark = {"here": "done", "late": "late", "impossible": "late"}.get(group, "waiting")
    name = str(need)
    rest = fact.words.removeprefix(name).removeprefix(str(need.component or need.text)).lstrip(", ")
    at = line.get_absolute_url() if line else f"{need.step.get_absolute_url()}#parts"
    note = " · ".join(filter(None, [rest, gettext("for {step}").format(step=need.step)]))
    to = f"{reverse('orders:order-new')}?need={need.pk}" if may_order and group == NOT_ORDERED else ""
    return Row(mark, capfirst(name), at, capfirst(note), act=gettext("Order") if to else "", to=to)


def _hours(value: Decimal) -> str:
    return f"{written.count(value)} h" if value else ""


def _in_short(status: Any) -> str:
    """What it waits for first, and the number of the others; the step's own page has them all."""
    if status.state is StepState.WAITING:
        return gettext("Waits for {short}").format(short=_some(status.short, NAMED))
    words = {StepState.CHECK: gettext("Check again: "), StepState.CANNOT: gettext("Cannot be done: ")}
    return f"{words[status.state]}{_some(status.reasons, 1)}" if status.reasons else status.words


NAMED = 2


def _some(of: Sequence[str], most: int) -> str:
    """The first few of several things, and how many more there are."""
    named = ", ".join(dict.fromkeys(of[:most]))
    more = len(of) - most
    return gettext("{named}, and {more} more").format(named=named, more=more) if more > 0 else named


def done_step_rows(steps: Iterable[tuple[Step, Any]]) -> list[Row]:
    """The steps that are done: by whom, when, in how many hours."""
    return [
        Row(
            "done",
            step.title,
            step.get_absolute_url(),
            f"{step.finished_by.get_full_name() or step.finished_by}, {written.day(step.finished_at)}",
            _hours(step.hours_logged),
        )
        for step, status in steps
        if status.state is StepState.DONE and step.finished_by and step.finished_at
    ]


def check_rows(sheets: Mapping[int, Brief]) -> list[Row]:
    """The job's worksheets by key: what fails, changed or is not accepted stands out, what holds is quiet."""
    return [_check(key, sheet.name, sheet.status) for key, sheet in sheets.items() if sheet.status]


def _why_unsure(status: WorksheetStatus) -> str:
    """The worst that keeps a worksheet from plainly holding, whoever accepted it."""
    words = (
        (status.failing, gettext("a check fails")),
        (status.doubts, gettext("readings are in doubt")),
        (status.unknown, gettext("something is not known")),
        (status.in_doubt, gettext("too close to call")),
    )
    return next((said for found, said in words if found), "")


def _check(key: int, name: str, status: WorksheetStatus) -> Row:
    accepted, at = status.state is not WorksheetState.NEW, reverse("worksheets:worksheet", args=[key])
    bad = status.failing or status.out_of_date
    unsure = status.in_doubt or status.doubts or status.unknown
    open_still = bad or unsure or not accepted
    note = " · ".join(filter(None, [str(status.state), _why_unsure(status)]))
    mark = "check" if bad or unsure else "waiting" if not accepted else "done"
    return Row(mark, name, at, note, red=bool(bad), act=gettext("Review") if open_still else "", to=at)
