"""The card of one step on one sheet: what can hurt, whether it may start, the work, its torques, boxes to sign."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext
from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, Table, TableStyle

from shop.print.card_facts import StepCardFacts, StepFacts, TorqueFacts
from shop.print.layout import SIGN_HEIGHT, SIGN_WIDTH, TICK_HEIGHT, TICK_WIDTH, Box, framed, gap, row_rules
from shop.print.sheet_frame import render_fitting
from shop.print.styles import WIDTH
from shop.print.text import noted, sentence, words
from shop.print.torque_rows import due_rows
from shop.print.torque_story import BARE, figure_and_holes, ticks


@dataclass(frozen=True)
class _Room:
    """How roomy a card is laid out: the height of its drawings, a box a fastener or not, the style of the work.

    causes: so many of what it waits for by name. close: title and cautions in small type as well.
    """

    drawing: float
    ticks: bool
    work: str
    causes: int = 99
    close: bool = False


# From roomy to narrow: the first that fits on one sheet is printed.
_ROOMS = (
    _Room(78 * mm, ticks=True, work="body"),
    _Room(62 * mm, ticks=True, work="cell"),
    _Room(50 * mm, ticks=True, work="dense"),
    _Room(78 * mm, ticks=False, work="cell"),
    _Room(50 * mm, ticks=False, work="dense"),
    _Room(0, ticks=False, work="dense"),
    _Room(0, ticks=False, work="dense", causes=3),
    _Room(0, ticks=False, work="dense", causes=3, close=True),
)


def step_card(facts: StepCardFacts, paper: str) -> bytes:
    """Draw the card as roomy as one sheet allows."""
    return render_fitting(facts.heading, (list(_story(facts, room)) for room in _ROOMS), paper)


def _story(facts: StepCardFacts, room: _Room) -> Iterator[Flowable]:
    step = facts.step
    yield words(f"{step.number}  {step.title}", "figure" if room.close else "title")
    yield words(" · ".join(filter(None, [facts.vehicle, step.role, step.hours])), "dense" if room.close else "cell")
    yield from _may_start(step, room)
    yield from _cautions(facts, "dense-strong" if room.close else "strong")
    if step.text:
        yield gap(1.5 * mm)
        yield noted(step.text, room.work)
    yield from _parts(facts)
    for torque in facts.torques:
        yield from _torque(torque, room)
    yield from _checks(facts)
    for title, text in facts.lessons:
        yield noted(text, "dense", f"{title}: ")
    yield gap(1 * mm if room.close else 3 * mm)
    yield _boxes([gettext("Done: name, date"), gettext("Second person: name, date")])


def _may_start(step: StepFacts, room: _Room) -> Iterator[Flowable]:
    if step.done:
        yield words(sentence(step.done), "strong")
    elif not step.stands.is_ready:
        yield gap(1 * mm)
        lead = gettext("LOOK AGAIN BEFORE ANYTHING ELSE. ") if step.is_open else gettext("DO NOT START YET. ")
        yield framed([words(sentence(step.stands.briefly(room.causes)), "dense" if room.close else "cell", lead)])


def _cautions(facts: StepCardFacts, own: str) -> Iterator[Flowable]:
    step = facts.step
    told: list[Flowable] = [noted(step.cautions, own)] if step.cautions else []
    told += [words(text, "dense") for text in facts.cautions]
    told += [words(change, "dense", gettext("Changed: ")) for change in step.changes]
    if step.touches:
        told.append(
            words(", ".join(step.touches), "cell", gettext("Regulated, needs licensed approval before the road: "))
        )
    if told:
        yield gap(1.5 * mm)
        yield framed(told)


def _parts(facts: StepCardFacts) -> Iterator[Flowable]:
    away = [part.state for part in facts.parts if not part.here]
    here = [part.state for part in facts.parts if part.here]
    for lead, told in ((gettext("Parts missing: "), away), (gettext("Parts here: "), here)):
        if told:
            yield words("; ".join(told) + ".", "cell" if away else "dense", lead)


def _torque(torque: TorqueFacts, room: _Room) -> Iterator[Flowable]:
    yield gap(2 * mm)
    if not torque.torque or not room.drawing:
        yield from due_rows([torque])
        return
    yield words(f"T{torque.number} {torque.place}: {torque.fastener}, {torque.condition}", "figure")
    yield figure_and_holes(torque, room.drawing)
    if room.ticks:
        yield from ticks(torque, least_columns=2)


def _checks(facts: StepCardFacts) -> Iterator[Flowable]:
    if not facts.step.checks:
        return
    yield gap(2 * mm)
    yield words(gettext("Checks to sign"), "figure")
    head = [words(text, "small") for text in ("", gettext("Found"), gettext("Signed, date"))]
    rows: list[list[Any]] = [head]
    for check in facts.step.checks:
        rows.append([words(check, "cell"), Box("", TICK_WIDTH, TICK_HEIGHT), Box("", SIGN_WIDTH, SIGN_HEIGHT)])
    right = [TICK_WIDTH + 3 * mm, SIGN_WIDTH + 3 * mm]
    yield Table(rows, [WIDTH - sum(right), *right], style=TableStyle(row_rules(black)), repeatRows=1, hAlign="LEFT")


def _boxes(labels: Sequence[str]) -> Flowable:
    wide = WIDTH / 2 - 4 * mm
    row = [[Box(label, wide, SIGN_HEIGHT) for label in labels]]
    return Table(row, [wide + 4 * mm] * len(labels), style=TableStyle(BARE), hAlign="LEFT")
