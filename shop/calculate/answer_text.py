"""A calculation's answer as a page or a sheet shows it: every number in the reader's units, nothing left to work out.

Worksheets, cards and the calculation's own page show the same `Presented`.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from django.utils.translation import gettext

from shop.base.rows import Row
from shop.calculate.answer_picture import AnswerPicture, picture_of, svg_of
from shop.calculate.check_text import show_check
from shop.calculate.shown_check import BEGINS, WORST_FIRST, ShownCheck, check_rows, count_words, in_doubt
from shop.calculate.verdict_text import VerdictText, checks_verdict, scaled
from specs.drawings.primitives import Drawing
from specs.engine import units
from specs.engine.bands import Band, Banded, band_words
from specs.engine.calculation import Calculation
from specs.engine.checks import Check
from specs.engine.fields import Field, fields_of
from specs.engine.units import Kind, System
from specs.engine.working import WorkingLine, pretty, written
from specs.phrase import joined, listed, phrase
from specs.plate.sides import name_on_plate
from specs.standards.publications import cite
from specs.written import num, wrench_torque

# Not \w: an exponent such as ² would be lowered with the subscript.


@dataclass(frozen=True)
class Figure:
    """One input or result in words: "Preload", "F", "31.5 kN", and its band "± 1.2 kN" where one is known.

    is_quantity: its number and unit belong on one line, as the words of a list need not. percent: a ratio as a
    sentence says it, "17 %". setting: a torque as a wrench is set to it.
    """

    name: str
    label: str
    symbol: str
    value: str
    band: str = ""
    is_quantity: bool = False
    percent: str = ""
    setting: str = ""


@dataclass(frozen=True)
class AnswerRows:
    """An input or a result that is a table; is_figure: which columns hold figures, not words."""

    name: str
    label: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    is_figure: tuple[bool, ...] = ()

    @property
    def laid_out(self) -> list[list[tuple[str, str, bool]]]:
        """Each row as its cells, with what stands above each, and whether it is a figure."""
        return [list(zip(row, self.columns, self.is_figure, strict=True)) for row in self.rows]


@dataclass(frozen=True)
class Presented:
    """Everything that is shown of one answer; `mark` makes the ids of its part of the page unique.

    urgent: the cautions that its numbers call for. cautions: the usual ones.
    """

    name: str
    mark: str
    title: str
    question: str
    revision: int
    inputs: tuple[Figure, ...]
    input_tables: tuple[AnswerRows, ...]
    results: tuple[Figure, ...]
    result_tables: tuple[AnswerRows, ...]
    working: tuple[WorkingLine, ...]
    checks: tuple[ShownCheck, ...]
    urgent: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    limits: tuple[str, ...]
    not_checked: tuple[str, ...]
    exact: str
    pictured: AnswerPicture
    answered_by: str = ""

    @property
    def verdicts(self) -> tuple[tuple[str, str, str], ...]:
        """The checks summed up, the worst first: a mark for the style sheet, the verdict, and all that come to it."""
        by_mark = {mark: [check.brief for check in self.checks if check.mark == mark] for mark in WORST_FIRST}
        return tuple((mark, BEGINS[mark], joined("; ", those)) for mark, those in by_mark.items() if those)

    @property
    def verdict(self) -> VerdictText:
        """What came of it in one line."""
        named = [figure for figure in self.results if figure.name == self.answered_by]
        first = next(iter(named or self.results), None)
        return checks_verdict(self.checks, f"{first.label} {first.value}" if first else "")

    @property
    def rows(self) -> list[Row]:
        """Its checks as rows, the worst first."""
        return check_rows(self.checks)

    @property
    def verdict_rows(self) -> list[Row]:
        """Its checks as rows that leave their values to a table of results beside them."""
        return check_rows(replace(check, value="") for check in self.checks)

    @property
    def counted(self) -> str:
        """How many of its checks came to what."""
        return count_words(check.mark for check in self.checks)

    @property
    def scaled(self) -> ShownCheck | None:
        """The check whose value is shown on a scale."""
        return scaled(self.checks)

    @property
    def picture(self) -> Drawing | None:
        return self.pictured.drawn()

    @property
    def svg(self) -> str:
        """The picture as a page holds it; empty where there is none."""
        return svg_of(self.pictured, self.mark)


def present(
    calculation: Calculation[Any, Any],
    given: Any,
    found: Any,
    system: System = "metric",
    banded: Banded | None = None,
    mark: str = "",
    *,
    doubted: bool = False,
) -> Presented:
    """Show solved Inputs and Outputs (SI) to a person of this unit system.

    banded: where measurements with tolerances went in, the bands they leave on results and margins. doubted: whether
    a reading that went in is in doubt, so that nothing plainly holds.
    mark: told apart by this where a page shows the same calculation twice; its name where none is given.
    """
    with units.written_for(system, banded.by_value if banded else None):
        shown = _presented(calculation, given, found, system, banded, mark or calculation.name)
    return replace(shown, checks=tuple(map(in_doubt, shown.checks))) if doubted else shown


def _presented(
    calculation: Calculation[Any, Any], given: Any, found: Any, system: System, banded: Banded | None, mark: str
) -> Presented:
    bands, by_value = (banded.outputs, banded.by_value) if banded else ({}, {})
    return Presented(
        name=calculation.name,
        mark=mark,
        title=calculation.title,
        question=calculation.question,
        revision=calculation.revision,
        inputs=_figures(calculation.inputs, given, system, {}),
        input_tables=_tables(calculation.inputs, given, system),
        results=_figures(calculation.outputs, found, system, bands),
        result_tables=_tables(calculation.outputs, found, system),
        working=written(calculation, given, found, system, {name: band.half for name, band in bands.items()}),
        checks=tuple(
            show_check(check, system, banded, _kind_of(check, calculation, given, found))
            for check in calculation.checks(given, found)
        ),
        urgent=(*(banded.cautions if banded else ()), *calculation.warn(given, found)),
        cautions=calculation.cautions,
        sources=cite(calculation.sources),
        limits=calculation.limits,
        not_checked=calculation.not_checked,
        exact=_exact_words(calculation, banded),
        pictured=picture_of(calculation, given, found, units.Reader(system, by_value)),
        answered_by=calculation.answered_by,
    )


def _exact_words(calculation: Calculation[Any, Any], banded: Banded | None) -> str:
    """Which inputs a result took as exact, in words."""
    if banded is None or not banded.tolerances:
        return gettext("All inputs were taken as exact.")
    fields = fields_of(calculation.inputs)
    labels = dict.fromkeys(fields[path.partition(".")[0]].label for path in banded.exact)
    return gettext("Taken as exact: {labels}.").format(labels=joined("; ", labels)) if labels else ""


def _figures(declared: type, held: Any, system: System, bands: Any) -> tuple[Figure, ...]:
    return tuple(
        _figure(field, value, system, bands.get(name))
        for name, field, value in _present_fields(declared, held)
        if field.form != "records"
    )


def _present_fields(declared: type, held: Any) -> list[tuple[str, Field, Any]]:
    fields = ((name, field, getattr(held, name)) for name, field in fields_of(declared).items())
    return [(name, field, value) for name, field, value in fields if value is not None]


def _figure(field: Field, value: Any, system: System, band: Band | None) -> Figure:
    spread = band.half if band else 0.0
    shown = show(field, value, system, spread)
    kind = field.kind if field.form == "quantity" else None
    around = band_words(band, kind, system) if band and kind else ""
    symbol = pretty(field.symbol) if field.symbol else ""
    percent = f"{units.number(value * 100, figures=2)} %" if kind is units.RATIO else ""
    setting = _as_set(value, system) if kind is units.TORQUE else ""
    return Figure(field.name, field.label, symbol, shown, around, field.form == "quantity", percent, setting)


def _as_set(torque: float, system: System) -> str:
    unit = units.TORQUE.unit_for(system)
    return f"{num(wrench_torque(units.TORQUE.from_si(torque, unit)))} {units.unit_text(unit)}"


def show(field: Field, value: Any, system: System = "metric", band: float = 0.0) -> str:
    """Write the value of any declared field but a table: a quantity, a word, a list."""
    if field.form == "quantity" and field.kind:
        return units.show(value, field.kind, system, band=band or None)
    if field.form == "quantities" and field.kind:
        return _quantities([units.show(entry, field.kind, system) for entry in value])
    if field.form == "pairs":
        return _list([listed(map(name_on_plate, pair)) for pair in value])
    if isinstance(value, tuple):
        return _list([name_on_plate(str(entry)) for entry in value])
    if field.options:
        return phrase(str(value))
    return name_on_plate(str(value))


def _quantities(entries: list[str]) -> str:
    """The unit once, after the last figure and never on a line without it: "46.2, 75.4, 111 km/h"."""
    unit = entries[-1].partition(" ")[2] if entries else ""
    if not unit:
        return _list(entries)
    bare = [entry.removesuffix(f" {unit}") for entry in entries[:-1]]
    return _list([*bare, entries[-1].replace(" ", "\N{NO-BREAK SPACE}")])


def _list(entries: list[str]) -> str:
    return ", ".join(entries) or gettext("none")


def _tables(declared: type, held: Any, system: System) -> tuple[AnswerRows, ...]:
    return tuple(
        _table(field, value, system)
        for _, field, value in _present_fields(declared, held)
        if field.form == "records" and value
    )


def _table(field: Field, rows: Any, system: System) -> AnswerRows:
    assert field.row is not None
    columns = fields_of(field.row)
    cells = tuple(
        tuple(
            _cell(column, value, system) if (value := getattr(row, name)) is not None else ""
            for name, column in columns.items()
        )
        for row in rows
    )
    labels = tuple(column.label for column in columns.values())
    is_figure = tuple(column.kind is not None for column in columns.values())
    return AnswerRows(field.name, field.label, labels, cells, is_figure)


def _cell(column: Field, value: Any, system: System) -> str:
    """A length of a table may be drilled from: it is written finer than a result that is read."""
    return units.show_place(value, system) if column.kind is units.LENGTH else show(column, value, system)


def _kind_of(check: Check, calculation: Calculation[Any, Any], given: Any, found: Any) -> Kind | None:
    """The kind of a check's two figures: that of the one field that holds either, or the one it was declared with."""
    held = [*_present_fields(calculation.outputs, found), *_present_fields(calculation.inputs, given)]
    compared = tuple(figure for figure in (check.value, check.limit) if figure)
    own = {field.kind.name: field.kind for _, field, value in held if field.kind and value in compared}
    return next(iter(own.values())) if len(own) == 1 else check.kind
