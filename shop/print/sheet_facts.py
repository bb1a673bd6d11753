"""Reading a worksheet, and a component to be measured, into the facts of their sheets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from django.utils.translation import gettext

from shop.base.language import word
from shop.calculate.answer_text import AnswerRows
from shop.calculate.shown_check import ShownCheck
from shop.measuring.text import show_dimension
from shop.print.facts import (
    Heading,
    MeasuringFacts,
    MeasuringRow,
    SheetFacts,
)
from shop.print.measuring_guide import (
    ADVICE,
    Usual,
    instrument_for,
    unit_of,
    usual_dimensions,
)
from shop.print.stored_drawing import freeze_drawing
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.lines import input_lines, output_lines
from shop.worksheets.text import present_state, status_text
from specs.engine import units
from specs.engine.units import System
from specs.models import Component, Dimension
from specs.queries import dimensions_with_readings


def read_worksheet(state: EvaluatedWorksheet, heading: Heading, system: System) -> SheetFacts:
    """Everything that a printed worksheet says, as it stands today."""
    shown = present_state(state, system)
    return SheetFacts(
        heading=heading,
        question=state.calculation.question if state.calculation else "",
        status=status_text(state, system).sentences,
        inputs=tuple((line.label, line.value, line.source, line.credit) for line in input_lines(state, system)),
        results=tuple(
            (line.label, f"{line.now} {line.band}".strip(), _accepted(state, line))
            for line in output_lines(state, system)
        ),
        checks=tuple((check.name, _verdict(check)) for check in shown.checks) if shown else (),
        lines=tuple((f"{one.symbol} = {one.symbols}", one.numbers, one.result, one.note) for one in shown.working)
        if shown
        else (),
        tables=tuple(map(_table, shown.result_tables)) if shown else (),
        cautions=shown.cautions if shown else (),
        not_checked=shown.not_checked if shown else (),
        limits=shown.limits if shown else (),
        sources=shown.sources if shown else (),
        method=gettext("{title}, revision {revision}").format(title=shown.title, revision=shown.revision)
        if shown
        else state.worksheet.calculation,
        drawing=freeze_drawing(shown.picture) if shown and shown.picture else None,
        urgent=shown.urgent if shown else (),
    )


def _verdict(check: ShownCheck) -> str:
    return f"{word(check.verdict)}. {check.margin}".rstrip(". ")


def _accepted(state: EvaluatedWorksheet, line: Any) -> str:
    if state.accepted is None:
        return gettext("not yet")
    return line.before if line.differs else gettext("same")


def _table(rows: AnswerRows) -> tuple[str, tuple[str, ...], tuple[tuple[str, ...], ...]]:
    return rows.label, rows.columns, rows.rows


def read_measuring(component: Component, heading: Heading, system: System) -> MeasuringFacts:
    """A blank sheet to measure a component with: its dimensions on record, then the usual ones of its kind."""
    held = list(dimensions_with_readings(Dimension.objects.filter(component=component)))
    known = {dimension.name.casefold() for dimension in held}
    usual = {name: row for row in usual_dimensions(component.kind) for name in _names(row)}
    missing = [row for row in usual_dimensions(component.kind) if not known & _names(row)]
    return MeasuringFacts(
        heading=heading,
        component=((gettext("Component"), str(component)), (gettext("Kind"), component.get_kind_display())),
        rows=(
            *(_row(dimension, system, usual) for dimension in held),
            *(MeasuringRow(**{**asdict(row), "unit": unit_of(row, system)}, usual=_key(row)) for row in missing),
        ),
        holes=component.kind in ("engine", "gearbox", "adapter plate"),
        advice=ADVICE,
        kind=component.kind,
        holes_unit="" if system == "metric" else units.LENGTH.unit_for(system),
    )


def _key(usual: Usual) -> str:
    """By what the sketches know a usual dimension: its English letters, whatever it is called here."""
    return usual.name.casefold()


def _names(usual: Usual) -> set[str]:
    """What somebody may have called it: in English, or as it is said here."""
    return {_key(usual), str(usual.name).casefold()}


def _row(dimension: Dimension, system: System, usual: Mapping[str, Usual]) -> MeasuringRow:
    shown, alike = show_dimension(dimension, system), usual.get(dimension.name.casefold())
    kind = units.KINDS[dimension.kind]
    return MeasuringRow(
        name=dimension.name,
        datum=dimension.datum,
        instrument=alike.instrument if alike else instrument_for(dimension.kind, dimension.name),
        unit=units.unit_text(kind.unit_for(system)),
        on_record=f"{shown.value} {shown.tolerance}" if shown.measured else "",
        usual=_key(alike) if alike else "",
    )
