"""A torque sheet, one A4 or Letter sheet a set of fasteners: the figure, the rounds, the true holes, boxes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from django.utils.translation import gettext
from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether, PageBreak, Table, TableStyle

from shop.base.language import capfirst, gettext_lazy
from shop.print.card_facts import TorqueFacts, TorqueListFacts, TorqueSheetFacts
from shop.print.layout import (
    SIGN_HEIGHT,
    SIGN_WIDTH,
    TICK_HEIGHT,
    TICK_WIDTH,
    Box,
    Picture,
    framed,
    gap,
    heading,
    pairs,
)
from shop.print.sheet_frame import height_of, render, room_on
from shop.print.styles import HAIR, WIDTH
from shop.print.text import sentence, words
from shop.print.torque_drawing import common_start, torque_drawing
from shop.print.torque_rows import listed_rows
from shop.torque.text import NO_TORQUE

_RIGHT = 2 * SIGN_WIDTH + 6 * mm
_LEFT = WIDTH - _RIGHT
_ONE_COLUMN, _TWO_COLUMNS = 8, 16
# From roomy to narrow: how high the drawing, and whether the words stand close.
_ROOMS = ((78 * mm, False), (62 * mm, False), (62 * mm, True), (50 * mm, True), (42 * mm, True))
CAUTION = gettext_lazy(
    "The maker's figure comes first. A figure holds for its own thread, grade and condition (dry, oiled, locking "
    "compound); a fastener without one is not tightened until one is approved. Wheel nuts again at 50–100 km."
)
BARE: list[Any] = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1.2 * mm),
]


def torque_sheets(facts: TorqueSheetFacts, paper: str) -> bytes:
    """Draw every set of fasteners that is still to be tightened, each as roomy as a sheet of its own allows."""
    return render(facts.heading, _story(facts, room_on(paper)), paper, alone=True)


def _story(facts: TorqueSheetFacts, room: float) -> list[Flowable]:
    if not facts.torques:
        return [words(facts.heading.title, "title"), words(gettext("Nothing is left to tighten in this job."))]
    sheets = [_fitting(facts, torque, room) for torque in facts.torques if torque.torque]
    without = [torque for torque in facts.torques if not torque.torque]
    sheets += [list(_not_to_tighten(facts, without))] if without else []
    return [piece for at, sheet in enumerate(sheets) for piece in ([PageBreak()] if at else []) + sheet]


def _fitting(facts: TorqueSheetFacts, torque: TorqueFacts, room: float) -> list[Flowable]:
    for most, dense in _ROOMS:
        sheet = list(_sheet(facts, torque, most, dense))
        if height_of(sheet) <= room:
            break
    return sheet


def _sheet(facts: TorqueSheetFacts, torque: TorqueFacts, most: float, dense: bool) -> Iterator[Flowable]:
    text = "dense" if dense else "cell"
    yield words(f"{capfirst(torque.place)}: {torque.fastener}", "figure" if dense else "title")
    step = gettext(" · step {step}").format(step=torque.step) if torque.step else ""
    yield words(f"T{torque.number} · {torque.component} · {torque.condition}{step} · {facts.vehicle}", text)
    yield gap(1 * mm if dense else 2 * mm)
    yield framed([words(one, text) for one in facts.cautions])
    yield gap(1 * mm if dense else 3 * mm)
    if torque.sign_again:
        yield words(torque.sign_again, "cell", gettext("SIGN AGAIN: "))
    yield figure_and_holes(torque, most)
    yield from ticks(torque)
    yield gap(2 * mm)
    yield _boxes([gettext("Second person, checked"), gettext("Date"), gettext("Marked with paint")], 55 * mm)


def _not_to_tighten(facts: TorqueSheetFacts, torques: Sequence[TorqueFacts]) -> Iterator[Flowable]:
    """What has no approved figure, each with the reason: together on one sheet, with nothing on it to tighten to."""
    yield words(NO_TORQUE, "large")
    yield words(facts.vehicle, "cell")
    yield gap()
    for torque in torques:
        step = gettext(" · step {step}").format(step=torque.step) if torque.step else ""
        told = [words(f"T{torque.number} {capfirst(torque.place)}: {torque.fastener}", "figure")]
        told.append(words(f"{torque.component} · {torque.condition}{step}", "cell"))
        told.append(words(sentence(torque.basis.why_not), "cell", gettext("Why not: ")))
        told += [words(torque.flag, "caution")] if torque.flag else []
        told += [words(torque.sign_again, "cell", gettext("SIGN AGAIN: "))] if torque.sign_again else []
        yield KeepTogether([framed(told), gap(1.5 * mm)])


def figure_and_holes(torque: TorqueFacts, most: float) -> Flowable:
    """The holes beside the figure and its rounds; `most`: how high the drawing may be."""
    left = list(_holes(torque, most))
    right: list[Flowable] = [words(torque.torque, "huge"), words(torque.basis.said, "small")]
    right += [words(torque.flag, "caution")] if torque.flag else []
    if torque.single_use:
        right.append(words(gettext("SINGLE USE: fit new fasteners every time."), "caution"))
    right += [gap(1.5 * mm), *(_round(name, figure) for name, figure in torque.rounds)]
    rows = [[left, right]]
    rules = [*BARE, ("RIGHTPADDING", (0, 0), (0, 0), 4 * mm)]
    return Table(rows, [_LEFT, _RIGHT], style=TableStyle(rules), hAlign="LEFT")


def _holes(torque: TorqueFacts, most: float) -> Iterator[Flowable]:
    plan = torque.plan
    if plan is None or not plan.holes:
        yield words(plan.note if plan else "", "strong")
        if torque.order_words:
            yield words(
                gettext("Number the fasteners round the circle with paint, then tighten in this sequence:"), "cell"
            )
            yield words(torque.order_words, "strong")
        return
    yield words(gettext("Seen {seen}: you stand behind the gearbox").format(seen=plan.seen), "strong")
    yield Picture(torque_drawing(plan), _LEFT - 5 * mm, most, largest=4.0)
    if start := common_start(plan):
        yield words(gettext("The names begin with {start}").format(start=start), "small")
    yield words(gettext("Datum: {datum}").format(datum=plan.datum), "small")
    yield words(
        gettext("{source}. From the other side left and right change places: go by the names.").format(
            source=plan.source
        ),
        "small",
    )
    if plan.note:
        yield words(plan.note, "small")


def _round(name: str, figure: str) -> Flowable:
    return _pair(Box(name, SIGN_WIDTH, SIGN_HEIGHT, figure), Box(gettext("done by, wrench"), SIGN_WIDTH, SIGN_HEIGHT))


def _pair(*cells: Flowable) -> Flowable:
    return Table([cells], [SIGN_WIDTH + 2 * mm] * len(cells), style=TableStyle(BARE), hAlign="LEFT")


def _boxes(labels: Sequence[str], width: float) -> Flowable:
    row = [[Box(label, width, SIGN_HEIGHT) for label in labels]]
    return Table(row, [width + 4 * mm] * len(labels), style=TableStyle(BARE), hAlign="LEFT")


def ticks(torque: TorqueFacts, least_columns: int = 1) -> Iterator[Flowable]:
    """A box for each fastener in the tightening sequence, in columns where there are many."""
    names = torque.plan.sequence if torque.plan and torque.plan.holes else ()
    turns = [str(at) for at in range(1, torque.count + 1)]
    cells = [(turn, names[at] if names else "") for at, turn in enumerate(turns)]
    columns = max(least_columns, 1 if len(cells) <= _ONE_COLUMN else 2 if len(cells) <= _TWO_COLUMNS else 3)
    rows = -(-len(cells) // columns)
    each = WIDTH / columns
    head = [
        "",
        gettext("Hole") if names else gettext("Fastener"),
        gettext("Turned with {torque}").format(torque=torque.torque),
    ]
    body = []
    for row in range(rows):
        line: list[Any] = []
        for at in range(row, len(cells), rows):
            turn, name = cells[at]
            named = words(name, "dense-strong" if columns > 2 else "strong")
            line += [words(turn, "dense-strong"), named, Box("", TICK_WIDTH, TICK_HEIGHT)]
        body.append(line + [""] * (3 * columns - len(line)))
    widths = [5 * mm, each - 6 * mm - TICK_WIDTH, TICK_WIDTH + 1 * mm] * columns
    rules = [*BARE, ("VALIGN", (0, 1), (-1, -1), "MIDDLE"), ("LINEBELOW", (0, 0), (-1, -1), HAIR, black)]
    rules += [("TOPPADDING", (0, 1), (-1, -1), 0.6 * mm), ("BOTTOMPADDING", (0, 1), (-1, -1), 0.7 * mm)]
    heads = [words(text, "small") for text in head * columns]
    yield Table([heads, *body], widths, style=TableStyle(rules), repeatRows=1, hAlign="LEFT")


def torque_list(facts: TorqueListFacts, paper: str) -> bytes:
    """Draw the list of a vehicle's torques."""
    return render(facts.heading, torque_list_story(facts), paper)


def torque_list_story(facts: TorqueListFacts) -> list[Flowable]:
    """Every torque of a vehicle, a row each, job by job."""
    story: list[Flowable] = [words(facts.heading.title, "title"), pairs(facts.vehicle), gap()]
    story.append(framed([words(CAUTION, "cell")]))
    if not facts.jobs:
        story.append(words(gettext("No torque is on record for this vehicle.")))
    for one in facts.jobs:
        story += [heading(one.job), listed_rows(one.torques)]
    return story
