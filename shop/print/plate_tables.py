"""The tables of a plate's set-up sheets: operations in order, and its holes to be cut or only checked."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from django.utils.translation import gettext
from reportlab.platypus import Flowable

from shop.base.language import word
from shop.print.layout import table
from shop.print.plate_card_facts import HoleFacts, OperationFacts, PlateFacts
from shop.print.plate_words import WORKS, are_long, bore_of, place_of, place_off
from shop.print.text import words
from specs.plate.machining import THROUGH
from specs.plate.sides import Side

# More holes than this stand in two columns: a table of one would take a sheet of its own. Very many that are only
# checked stand in four.
MANY_HOLES, _VERY_MANY_HOLES = 24, 48
# Letters of a hole's name for which four columns have room.
_NARROW = 10
# As many and more that follow one another are told by the first and the last.
_RUN = 4
_NUMBERED = re.compile(r"(.*?)([0-9]+)$")


def operations_table(facts: PlateFacts, side: Side) -> Flowable:
    """What is done from a side, in the order of working."""
    shares = (0.05, 0.17, 0.25, 0.21, 0.32)
    return table(
        ["", gettext("Operation"), gettext("Tool, Ø in mm"), gettext("Depth"), gettext("Holes")],
        _operations(facts, side),
        shares,
        name="dense",
    )


def _operations(facts: PlateFacts, side: Side) -> list[list[Any]]:
    groups: dict[Any, tuple[OperationFacts, list[str]]] = {}
    for hole, done in facts.done_from(side):
        groups.setdefault((done.work, done.tool, done.depth), (done, []))[1].append(hole.name)
    rows: list[list[Any]] = [
        [str(at), WORKS[done.work], words(done.tool.sized, "dense-strong"), done.depth.said, names_in_order(names)]
        for at, (done, names) in enumerate(groups.values(), start=1)
    ]
    if facts.windows and side is Side.GEARBOX:
        names_of = ", ".join(window.name for window in facts.windows)
        rows.append(
            [
                str(len(rows) + 1),
                gettext("cut window"),
                words(gettext("mill or saw"), "dense-strong"),
                THROUGH,
                names_of,
            ]
        )
    return [
        *rows,
        [
            str(len(rows) + 1),
            gettext("deburr"),
            gettext("hand countersink"),
            gettext("edge broken"),
            gettext("all, both ends"),
        ],
    ]


def names_in_order(names: Sequence[str]) -> str:
    """Names in their order; those that count up one by one as "E-1 to E-30"."""
    runs: list[list[str]] = []
    for name in names:
        if runs and _follows(runs[-1][-1], name):
            runs[-1].append(name)
        else:
            runs.append([name])
    return ", ".join(
        gettext("{first} to {last}").format(first=run[0], last=run[-1]) if len(run) >= _RUN else ", ".join(run)
        for run in runs
    )


def _follows(name: str, other: str) -> bool:
    """Whether the other name is the next number of the same kind."""
    one, two = _NUMBERED.match(name), _NUMBERED.match(other)
    if one is None or two is None:
        return False
    return one[1] == two[1] and int(one[2]) + 1 == int(two[2])


def hole_table(facts: PlateFacts, side: Side) -> Flowable:
    """The holes of a side that is worked, each with what is done to it; many holes in two columns."""
    if (
        not facts.done_from(side)
        and len(facts.holes) > _VERY_MANY_HOLES
        and max(len(hole.name) for hole in facts.holes) < _NARROW
    ):
        return _in_four_columns(facts.holes, side)
    if not facts.done_from(side) or len(facts.holes) > MANY_HOLES:
        return _in_two_columns(facts.holes, side)
    rows = []
    for hole in facts.holes:
        done = [str(WORKS[o.work]) for o in hole.operations if o.side == side]
        rows.append([*_placed(hole, side), word(hole.kind), ", ".join(done) or "–"])
    head = [
        gettext("Hole"),
        *_axes(side),
        gettext("Place"),
        gettext("Bore"),
        gettext("Kind"),
        gettext("Done from this side"),
    ]
    shares = (2.9, 2.2, 1.7, 1.6, 2.8, 1.7, 2.7) if are_long(facts.holes) else (1.6, 2.2, 2, 1.8, 2.8, 2, 3.2)
    return table(head, rows, shares, _APART, name="dense")


# Figures that end at the right edge of their column keep off those that begin at the left of the next.
_APART = [("LEFTPADDING", (3, 0), (3, -1), 10)]


def _in_four_columns(holes: Sequence[HoleFacts], side: Side) -> Flowable:
    """Only the places to be checked: bores and what they may be off stand in the table of the side that is cut."""
    rows: list[list[Any]] = [_placed(hole, side)[:3] for hole in holes]
    fourth = -(-len(rows) // 4)
    rows += [[""] * 3] * (4 * fourth - len(rows))
    lines = [[cell for row in rows[at::fourth] for cell in row] for at in range(fourth)]
    apart = [("LEFTPADDING", (at, 0), (at, -1), 9) for at in (3, 6, 9)]
    head = [gettext("Hole"), *(words(axis, "dense-number") for axis in "xy")] * 4
    return table(head, lines, (1.25, 1, 0.95) * 4, apart, name="dense")


def _in_two_columns(holes: Sequence[HoleFacts], side: Side) -> Flowable:
    rows: list[list[Any]] = [_placed(hole, side) for hole in holes]
    half = -(-len(rows) // 2)
    right: list[list[Any]] = [*rows[half:], [""] * 5]
    lines = [[*left, *other] for left, other in zip(rows[:half], right, strict=False)]
    head = [gettext("Hole"), *_axes(side), gettext("Place"), gettext("Bore")] * 2
    apart = [*_APART, ("LEFTPADDING", (8, 0), (8, -1), 8), ("LEFTPADDING", (5, 0), (5, -1), 7)]
    shares = (2.35, 1.85, 1.25, 1.2, 2.15) if are_long(holes) else (1.7, 1.85, 1.45, 1.3, 2.5)
    return table(head, lines, shares * 2, apart, name="dense")


def _axes(side: Side) -> list[Flowable]:
    return [
        words(gettext("x, as seen") if side is Side.GEARBOX else gettext("x, MIRRORED"), "dense-number"),
        words("y", "dense-number"),
    ]


def _placed(hole: HoleFacts, side: Side) -> list[Any]:
    place = [words(value, "dense-number") for value in place_of(hole, side)]
    return [words(hole.name, "dense-strong"), *place, place_off(hole), bore_of(hole)]
