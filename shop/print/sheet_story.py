"""A printed worksheet and a blank measuring sheet as stories."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.utils.translation import gettext
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepTogether

from shop.print.facts import MeasuringFacts, SheetFacts
from shop.print.layout import (
    AsManyAsFit,
    Picture,
    boxes,
    bullets,
    framed,
    gap,
    heading,
    pairs,
    table,
    under,
)
from shop.print.measuring_sketches import sketch_of
from shop.print.safety import NOT_CHECKED
from shop.print.sheet_frame import render
from shop.print.stored_drawing import thaw_drawing
from shop.print.text import formula, words

_DRAWING = 78 * mm
_SKETCH, _SKETCH_LARGEST = 54 * mm, 1.0
SPARE = 3
MOST_HOLES, LEAST_HOLES = 18, 10


def worksheet_sheet(facts: SheetFacts, paper: str) -> bytes:
    """Draw the worksheet."""
    return render(facts.heading, worksheet_story(facts), paper)


def worksheet_story(facts: SheetFacts) -> list[Flowable]:
    """The worksheet with its working, to be checked by hand."""
    return [piece for part in (_head, _verdict, _inputs, _results, _working, _small_print) for piece in part(facts)]


def _head(facts: SheetFacts) -> Iterator[Flowable]:
    yield words(facts.heading.title, "title")
    yield words(facts.question)
    yield framed([words(sentence, "cell") for sentence in facts.status])


def _verdict(facts: SheetFacts) -> Iterator[Flowable]:
    """What was found and what can hurt: on the first sheet, however many inputs there are."""
    if facts.checks:
        yield heading(gettext("Checks"))
        yield table([gettext("Check"), gettext("Verdict")], facts.checks, (0.35, 0.65))
    if facts.urgent or facts.cautions:
        yield heading(gettext("Cautions"))
        yield from bullets(facts.urgent, "strong")
        yield from bullets(facts.cautions)


def _inputs(facts: SheetFacts) -> Iterator[Flowable]:
    yield heading(gettext("Inputs, and where they come from"))
    head = [gettext("Input"), gettext("Value"), gettext("From"), gettext("By")]
    yield table(head, facts.inputs, (0.3, 0.2, 0.28, 0.22))


def _results(facts: SheetFacts) -> Iterator[Flowable]:
    if not facts.results:
        return
    yield heading(gettext("Results"))
    rows = [[label, words(now, "strong"), before] for label, now, before in facts.results]
    yield table([gettext("Result"), gettext("Today"), gettext("Accepted")], rows, (0.5, 0.3, 0.2))
    for label, columns, cells in facts.tables:
        yield heading(label)
        yield table(columns, cells, [1.4, *[1] * (len(columns) - 1)])
    if facts.drawing:
        yield KeepTogether([gap(), Picture(thaw_drawing(facts.drawing), most=_DRAWING)])


def _working(facts: SheetFacts) -> Iterator[Flowable]:
    if not facts.lines:
        return
    yield from under([heading(gettext("Working"))], [list(_line(*line)) for line in facts.lines])


def _line(symbols: str, numbers: str, result: str, note: str) -> Iterator[Flowable]:
    yield formula(f"{symbols} = {numbers}" if numbers else symbols)
    yield words(f"= {result}" + (f"   ({note})" if note else ""), "strong")
    yield gap(1.5 * mm)


def _small_print(facts: SheetFacts) -> Iterator[Flowable]:
    yield heading(gettext("Not checked here"))
    yield from bullets([*facts.not_checked, NOT_CHECKED])
    yield heading(gettext("Holds for"))
    yield from bullets(facts.limits)
    yield heading(gettext("Sources"))
    yield from bullets([*facts.sources, gettext("Method: {method}").format(method=facts.method)])


def measuring_sheet(facts: MeasuringFacts, paper: str) -> bytes:
    """Draw the blank measuring sheet."""
    return render(facts.heading, measuring_story(facts), paper)


def measuring_story(facts: MeasuringFacts) -> list[Flowable]:
    """A blank sheet: what to measure, from where, with what, and where to write it."""
    return [piece for part in (_measuring_head, _measuring_rows, _measuring_holes) for piece in part(facts)]


def _measuring_head(facts: MeasuringFacts) -> Iterator[Flowable]:
    yield words(facts.heading.title, "title")
    yield pairs(facts.component)
    yield gap()
    yield boxes(
        [
            gettext("Specimen: serial or mark"),
            gettext("Measured by"),
            gettext("Date"),
            gettext("Temperature of the part"),
        ],
        shares=(4, 3, 2, 2),
    )
    yield gap()
    yield from bullets(facts.advice)


def _measuring_rows(facts: MeasuringFacts) -> Iterator[Flowable]:
    if facts.rows:
        yield heading(gettext("What to measure"))
        yield from _where(facts)
    rows = []
    for number, row in enumerate(facts.rows, start=1):
        name: list[Flowable] = [words(row.name, "strong")]
        if row.datum:
            name.append(words(row.datum, "small"))
        if row.on_record:
            name.append(words(row.on_record, "small", gettext("On record: ")))
        unit = row.unit or "–"
        rows.append(
            [
                str(number),
                name,
                row.instrument,
                [
                    boxes(
                        [
                            gettext("first [{unit}]").format(unit=unit),
                            gettext("second [{unit}]").format(unit=unit),
                            "±",
                        ],
                        78 * mm,
                    )
                ],
            ]
        )
    if rows:
        head = ["", gettext("Dimension and datum"), gettext("With"), gettext("Readings")]
        yield table(head, rows, (0.06, 0.34, 0.16, 0.44))
    labels = [gettext("Dimension and datum"), gettext("With"), gettext("first"), gettext("second"), "±"]
    blank = [boxes(labels, shares=(5, 2, 2, 2, 1)) for _ in range(SPARE)]
    yield AsManyAsFit([heading(gettext("What else decides a fit here"))], lambda count: blank[:count], SPARE)


def _where(facts: MeasuringFacts) -> Iterator[Flowable]:
    """A sketch of the component with the numbers of the rows at their places."""
    numbers = {row.usual or row.name.casefold(): number for number, row in enumerate(facts.rows, start=1)}
    drawn = sketch_of(facts.kind, numbers)
    if drawn:
        shown = Picture(drawn, most=_SKETCH, largest=_SKETCH_LARGEST)
        yield KeepTogether(
            [shown, words(gettext("Where: the numbers are those of the rows below. Not to scale."), "small")]
        )


def _measuring_holes(facts: MeasuringFacts) -> Iterator[Flowable]:
    if not facts.holes:
        return
    over = [
        heading(gettext("Hole pattern of the face")),
        words(
            gettext(
                "Write the datum (where x = 0, y = 0 is, which way x points) and the side it was seen from; number "
                "the holes on the part with paint. Kind: clearance, tapped, countersunk or dowel."
            ),
            "cell",
        ),
        boxes([gettext("Datum"), gettext("Seen from: engine side / gearbox side")], shares=(3, 2)),
        gap(),
    ]
    rule: list[Any] = [("INNERGRID", (0, 0), (-1, -1), 0.35, "black"), ("BOX", (0, 0), (-1, -1), 0.7, "black")]
    rule += [("BOTTOMPADDING", (0, 1), (-1, -1), 11)]
    unit = facts.holes_unit or "mm"
    head = [
        gettext("Hole"),
        f"x [{unit}]",
        f"y [{unit}]",
        gettext("Diameter [{unit}]").format(unit=unit),
        gettext("Kind"),
        gettext("Thread or head"),
    ]

    def blank(count: int) -> list[Flowable]:
        return [table(head, [[str(at), *[""] * 5] for at in range(1, count + 1)], (1, 2, 2, 2, 2, 3), rule)]

    yield AsManyAsFit(over, blank, MOST_HOLES, LEAST_HOLES)
