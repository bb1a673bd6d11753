"""Why a reading is no plain answer: what a careful person asks before a verdict rests on it, each a phrase."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from specs.day_text import day_text
from specs.engine import units
from specs.engine.readings import active, cannot_read, disagree, is_printed, looks_like_other_unit
from specs.models.measuring import Dimension, Measurement
from specs.phrase import phrase
from specs.written import form


def taking_doubts(kind: str, tolerance: float, instrument: str) -> Iterator[str]:
    """Doubts about how one reading was taken: ± 0 for a length or an angle, an instrument that cannot read it."""
    if kind in ("length", "angle") and tolerance == 0 and not is_printed(instrument):
        yield phrase("± 0 is stated, and nothing that is read is known exactly")
    if least := cannot_read(instrument, kind, tolerance):
        finest = units.show(least, units.KINDS[kind], "metric", figures=2)
        yield phrase(
            "{instrument} reads to ± {finest} at best, and a finer ± is stated", instrument=instrument, finest=finest
        )


def doubts_about(dimension: Dimension, reading: Measurement) -> tuple[str, ...]:
    """Everything doubtful about a reading as the value of its dimension, worst first.

    Reads `dimension.measurements.all()`: of dimensions fetched by `dimensions_with_readings` without a query.
    """
    others = [one for one in active(dimension.measurements.all()) if one.pk != reading.pk]
    of_piece = [one for one in others if not is_another_piece(one, reading)]
    return (
        *_outside(dimension, reading),
        *_disputed(reading, of_piece),
        *_older(dimension, reading, of_piece),
        *taking_doubts(dimension.kind, reading.tolerance, reading.instrument),
        *_other_unit(dimension, reading, others),
    )


def is_another_piece(one: Measurement, other: Measurement) -> bool:
    """Whether two readings were taken of two pieces: those may differ without a dispute."""
    return None not in (one.specimen_id, other.specimen_id) and one.specimen_id != other.specimen_id


def _outside(dimension: Dimension, reading: Measurement) -> Iterator[str]:
    if dimension.lower_limit is not None and reading.value < dimension.lower_limit:
        yield phrase(
            "{typed} is below the dimension's own limit, {lower_limit_typed}",
            typed=reading.typed,
            lower_limit_typed=dimension.lower_limit_typed,
        )
    if dimension.upper_limit is not None and reading.value > dimension.upper_limit:
        yield phrase(
            "{typed} is above the dimension's own limit, {upper_limit_typed}",
            typed=reading.typed,
            upper_limit_typed=dimension.upper_limit_typed,
        )


def _disputed(reading: Measurement, others: Iterable[Measurement]) -> Iterator[str]:
    for other in others:
        if disagree(reading, other):
            yield phrase(
                "{typed} and {typed_2} ({day}) contradict each other",
                typed=reading.typed,
                typed_2=other.typed,
                day=_day(other.measured_on),
            )


def _older(dimension: Dimension, reading: Measurement, others: Iterable[Measurement]) -> Iterator[str]:
    newer = [one for one in others if (one.measured_on, one.pk) > (reading.measured_on, reading.pk)]
    if newer:
        why = (
            phrase(", because {chosen_reason}", chosen_reason=dimension.chosen_reason)
            if dimension.chosen_id == reading.pk
            else ""
        )
        yield phrase(
            "{typed} of {day} was chosen over the newer {typed_2} of {day_2}{why}",
            typed=reading.typed,
            day=_day(reading.measured_on),
            typed_2=newer[0].typed,
            day_2=_day(newer[0].measured_on),
            why=why,
        )


def _other_unit(dimension: Dimension, reading: Measurement, others: list[Measurement]) -> Iterator[str]:
    limits = [limit for limit in (dimension.lower_limit, dimension.upper_limit) if limit is not None]
    usual = [one.value for one in others] or ([sum(limits) / len(limits)] if limits else [])
    if dimension.kind == "length" and looks_like_other_unit(reading.value, usual):
        yield phrase("{typed} looks like a reading in the other system of units", typed=reading.typed)


def _day(of: date) -> str:
    return day_text(of, form().day_pattern)
