"""An accepted record read back in words: as it was accepted, whatever today's method says."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.formats import date_format
from django.utils.timezone import localtime

from shop.base.roles import person_name
from shop.worksheets.evaluation import result_of
from shop.worksheets.models import AcceptedRecord
from shop.worksheets.rules import Origin, Verdict
from shop.worksheets.text import origin_words, plain_words
from specs.engine.calculation import find
from specs.engine.fields import fields_of, label_at
from specs.engine.units import System


@dataclass(frozen=True)
class AcceptedLines:
    """Inputs (label, words), results (label, words), checks of a record, and what was doubtful about its readings."""

    inputs: tuple[tuple[str, str], ...]
    results: tuple[tuple[str, str], ...]
    checks: tuple[Verdict, ...]
    doubts: tuple[str, ...] = ()


def accepted_lines(record: AcceptedRecord, system: System = "metric") -> AcceptedLines:
    """Read a record back. What today's calculation no longer knows is shown under the name it was kept by."""
    result = result_of(record)
    calculation = find(record.calculation)
    fields = fields_of(calculation.outputs) if calculation else {}
    results = []
    for name, value in result.outputs.items():
        field = fields.get(name)
        band = record.bands.get(name, {})
        half = (band.get("high", 0.0) - band.get("low", 0.0)) / 2
        results.append((field.label if field else name, plain_words(field, value, system, half)))
    return AcceptedLines(
        inputs=tuple((_label(record, origin), origin_words(origin, system)) for origin in result.origins),
        results=tuple(results),
        checks=tuple(result.checks),
        doubts=result.doubts,
    )


def _label(record: AcceptedRecord, origin: Origin) -> str:
    calculation = find(record.calculation)
    return origin.label or (label_at(calculation.inputs, origin.path) if calculation else origin.path)


@dataclass(frozen=True)
class AcceptedText:
    """Who accepted it and when, its results and checks as accepted; all empty where nothing was."""

    accepted: str = ""
    results: tuple[tuple[str, str], ...] = ()
    checks: tuple[str, ...] = ()


def accepted_text(record: AcceptedRecord | None, system: System) -> AcceptedText:
    """An accepted record as a card prints it."""
    if record is None:
        return AcceptedText()
    lines = accepted_lines(record, system)
    when = date_format(localtime(record.at), "j M Y")
    return AcceptedText(
        accepted=f"accepted by {person_name(record.person)} on {when}, method revision {record.revision}",
        results=lines.results,
        checks=(
            *(f"In doubt: {doubt}" for doubt in lines.doubts),
            *(f"{check.name}: {check.verdict}" for check in lines.checks),
        ),
    )
