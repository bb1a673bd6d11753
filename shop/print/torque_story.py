"""A torque sheet, one A4 or Letter sheet a set of fasteners: the figure, the rounds, the true holes, boxes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, PageBreak, Table, TableStyle

from shop.print.card_facts import TorqueFacts, TorqueSheetFacts
from shop.print.layout import SIGN_HEIGHT, SIGN_WIDTH, TICK_HEIGHT, TICK_WIDTH, Box, Picture, framed, gap
from shop.print.styles import HAIR, WIDTH
from shop.print.text import words
from shop.print.torque_drawing import torque_drawing
from shop.torque.text import NO_TORQUE

_RIGHT = 2 * SIGN_WIDTH + 6 * mm
_LEFT = WIDTH - _RIGHT
_ONE_COLUMN, _TWO_COLUMNS = 8, 16
_BARE: list[Any] = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), 0),
    ("RIGHTPADDING", (0, 0), (-1, -1), 0),
    ("TOPPADDING", (0, 0), (-1, -1), 0),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 1.2 * mm),
]


def torque_story(facts: TorqueSheetFacts) -> list[Flowable]:
    """Every set of fasteners that is still to be tightened, each on a sheet of its own."""
    if not facts.torques:
        return [words(facts.heading.title, "title"), words("Nothing is left to tighten in this job.")]
    sheets = [list(_sheet(facts, torque)) for torque in facts.torques]
    return [piece for at, sheet in enumerate(sheets) for piece in ([PageBreak()] if at else []) + sheet]


def _sheet(facts: TorqueSheetFacts, torque: TorqueFacts) -> Iterator[Flowable]:
    yield words(f"{torque.place}: {torque.fastener}", "title")
    step = f" · step {torque.step}" if torque.step else ""
    yield words(f"T{torque.number} · {torque.component} · {torque.condition}{step} · {facts.vehicle}")
    yield gap()
    yield framed([words(text, "cell") for text in facts.cautions])
    yield gap(3 * mm)
    if torque.sign_again:
        yield words(torque.sign_again, "cell", "SIGN AGAIN: ")
    if not torque.torque:
        yield framed([words(NO_TORQUE, "large"), words(torque.basis.removeprefix(f"{NO_TORQUE}: "), "body")])
        if torque.flag:
            yield words(torque.flag, "caution")
        return
    yield _figure_and_holes(torque)
    yield from _ticks(torque)
    yield gap(2 * mm)
    yield _boxes(["Second person, checked", "Date", "Marked with paint"], 55 * mm)


def _figure_and_holes(torque: TorqueFacts) -> Flowable:
    left = list(_holes(torque))
    right: list[Flowable] = [words(torque.torque, "huge"), words(torque.basis, "small")]
    right += [words(torque.flag, "caution")] if torque.flag else []
    if torque.single_use:
        right.append(words("SINGLE USE: fit new fasteners every time.", "caution"))
    right += [gap(1.5 * mm), *(_round(name, figure) for name, figure in torque.rounds)]
    rows = [[left, right]]
    rules = [*_BARE, ("RIGHTPADDING", (0, 0), (0, 0), 4 * mm)]
    return Table(rows, [_LEFT, _RIGHT], style=TableStyle(rules), hAlign="LEFT")


def _holes(torque: TorqueFacts) -> Iterator[Flowable]:
    plan = torque.plan
    if plan is None or not plan.holes:
        yield words(plan.note if plan else "", "strong")
        if torque.order_words:
            yield words("Number the fasteners round the circle with paint, then tighten in this sequence:", "cell")
            yield words(torque.order_words, "strong")
        return
    yield words(f"Seen {plan.seen}", "strong")
    yield Picture(
        torque_drawing(plan), _LEFT - 5 * mm, 78 * mm if torque.count <= _TWO_COLUMNS else 54 * mm, largest=4.0
    )
    yield words(f"Datum: {plan.datum}", "small")
    yield words(f"{plan.source}. From the other side left and right change places.", "small")
    if plan.note:
        yield words(plan.note, "small")


def _round(name: str, figure: str) -> Flowable:
    return _pair(Box(name, SIGN_WIDTH, SIGN_HEIGHT, figure), Box("done by, wrench", SIGN_WIDTH, SIGN_HEIGHT))


def _pair(*cells: Flowable) -> Flowable:
    return Table([cells], [SIGN_WIDTH + 2 * mm] * len(cells), style=TableStyle(_BARE), hAlign="LEFT")


def _boxes(labels: Sequence[str], width: float) -> Flowable:
    row = [[Box(label, width, SIGN_HEIGHT) for label in labels]]
    return Table(row, [width + 4 * mm] * len(labels), style=TableStyle(_BARE), hAlign="LEFT")


def _ticks(torque: TorqueFacts) -> Iterator[Flowable]:
    """A box for each fastener in the order of tightening, in columns where there are many."""
    names = torque.plan.sequence if torque.plan and torque.plan.holes else ()
    turns = [str(at) for at in range(1, torque.count + 1)]
    cells = [(turn, names[at] if names else "") for at, turn in enumerate(turns)]
    columns = 1 if len(cells) <= _ONE_COLUMN else 2 if len(cells) <= _TWO_COLUMNS else 3
    rows = -(-len(cells) // columns)
    each = WIDTH / columns
    head = ["", "Hole" if names else "Fastener", f"Turned with {torque.torque}"]
    body = []
    for row in range(rows):
        line: list[Any] = []
        for at in range(row, len(cells), rows):
            turn, name = cells[at]
            line += [words(turn, "strong"), words(name, "strong"), Box("", TICK_WIDTH, TICK_HEIGHT)]
        body.append(line + [""] * (3 * columns - len(line)))
    widths = [7 * mm, each - 7 * mm - TICK_WIDTH - 1 * mm, TICK_WIDTH + 1 * mm] * columns
    rules = [*_BARE, ("VALIGN", (0, 1), (-1, -1), "MIDDLE"), ("LINEBELOW", (0, 0), (-1, -1), HAIR, black)]
    rules += [("TOPPADDING", (0, 1), (-1, -1), 0.4 * mm), ("BOTTOMPADDING", (0, 1), (-1, -1), 0.6 * mm)]
    heads = [words(text, "small") for text in head * columns]
    yield Table([heads, *body], widths, style=TableStyle(rules), repeatRows=1, hAlign="LEFT")
