"""What a worksheet's inputs come to today: the request to solve, the tolerances that go with it, and each origin.

An input path lays a nested request flat: "clamp_force", "contributors.0.nominal".
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Any, Protocol

from shop.base.roles import person_name
from shop.worksheets.job_pieces import NO_JOB, JobPieces, pattern_doubts, taken_reading
from shop.worksheets.rules import Origin
from specs.engine import parsing, units
from specs.engine.calculation import Calculation
from specs.engine.fields import Field, Tolerance, field_at, fields_of, label_at, nest
from specs.models import Dimension, HolePattern
from specs.phrase import phrase
from specs.plate.sides import Side


class Input(Protocol):
    """One input as it is kept, or about to be: exactly one of a text, a dimension and a pattern."""

    @property
    def path(self) -> str: ...
    @property
    def typed(self) -> str: ...
    @property
    def unit(self) -> str: ...
    @property
    def dimension(self) -> Dimension | None: ...
    @property
    def pattern(self) -> HolePattern | None: ...
    @property
    def credit(self) -> tuple[str, str]: ...


class Cut(Protocol):
    """How a plate's holes are cut: `shop.worksheets.plate_cut.PlateCut`."""

    def rows(self, row: type, pattern: HolePattern, side: Side, mirrored: float) -> list[dict[str, Any]]:
        """The holes of a face as the plate has them. Raises ValueError for a thread that no table has."""

    def is_left_out(self, path: str, hole: str) -> bool:
        """Whether a hole of a side is not machined."""


@dataclass(frozen=True)
class Given:
    """One input to keep: a text as typed (with the unit meant where it has none), a dimension or a pattern."""

    path: str
    typed: str = ""
    unit: str = ""
    dimension: Dimension | None = None
    pattern: HolePattern | None = None
    credit: tuple[str, str] = ("", "")


@dataclass(frozen=True)
class Resolved:
    """A request in the contract's units, its tolerances by input path, origins, and what could not be resolved."""

    request: Mapping[str, Any]
    tolerances: Mapping[str, Tolerance]
    origins: tuple[Origin, ...]
    problems: Mapping[str, str]


class _Missing(LookupError):
    """An input that has no value today; the message says why."""


def resolve(
    calculation: Calculation[Any, Any],
    inputs: Iterable[Input],
    cut: Cut | None = None,
    pieces: JobPieces = NO_JOB,
) -> Resolved:
    """Resolve inputs against the readings of their dimensions, which should have been fetched.

    cut: how a plate is cut; without it a face's holes are taken as they are on the face. pieces: those of the jobs,
    whose readings are taken where there are any.
    """
    flat: dict[str, Any] = {}
    tolerances: dict[str, Tolerance] = {}
    origins: list[Origin] = []
    problems: dict[str, str] = {}
    for given in inputs:
        try:
            value, origin, own = _take(calculation, given, cut, pieces)
        except _Missing as missing:
            problems[given.path] = str(missing)
            continue
        flat[given.path] = value
        tolerances.update(own)
        origins.append(origin)
    _tolerances_of_rows(calculation, flat, origins)
    return Resolved(nest(flat), tolerances, tuple(origins), problems)


def _tolerances_of_rows(calculation: Calculation[Any, Any], flat: dict[str, Any], origins: Iterable[Origin]) -> None:
    """Give a row that asks for a size and its ± the ± of the reading that the size came from, where none was given."""
    for origin in origins:
        row, _, column = origin.path.rpartition(".")
        path = f"{row}.tolerance"
        field = field_at(calculation.inputs, path) if column == "nominal" else None
        if field and field.kind and path not in flat and (origin.tolerance or origin.kind == "dimension"):
            flat[path] = field.kind.from_si(origin.tolerance)


Taken = tuple[Any, Origin, dict[str, Tolerance]]


def _take(calculation: Calculation[Any, Any], given: Input, cut: Cut | None, pieces: JobPieces) -> Taken:
    field = field_at(calculation.inputs, given.path)
    label = label_at(calculation.inputs, given.path)
    if field is None:
        raise _Missing(phrase("The calculation has no such input any more; edit the worksheet."))
    if given.dimension:
        return _from_dimension(field, label, given.path, given.dimension, pieces)
    if given.pattern:
        return _from_pattern(field, label, given, given.pattern, cut, pieces)
    return _typed(field, label, given)


def _typed(field: Field, label: str, given: Input) -> Taken:
    text: Any = given.typed
    value, half = None, 0.0
    if field.kind is not None:
        try:
            reading = parsing.read(text, field.kind, given.unit or None, with_tolerance=True)
            value, half = reading.value, reading.tolerance or 0.0
            if half:
                text = {"value": field.kind.from_si(value), "tolerance": field.kind.from_si(half)}
            else:
                text = parsing.with_unit(text, given.unit)
        except parsing.NotUnderstood:
            pass  # The calculation's own reading says what is wrong, in the same words as its form.
    who, day = given.credit
    origin = Origin(
        given.path,
        label,
        "typed",
        given.typed,
        value=value,
        tolerance=half,
        quantity=field.kind.name if field.kind else "",
        person=who,
        on=day,
    )
    return text, origin, {}


def _from_dimension(field: Field, label: str, path: str, dimension: Dimension, pieces: JobPieces) -> Taken:
    taken = taken_reading(dimension, pieces)
    if taken is None:
        raise _Missing(phrase("{dimension} has no reading.", dimension=str(dimension)))
    if field.kind is None or field.kind.name != dimension.kind:
        needed = field.kind.name if field.kind else "word"
        raise _Missing(
            phrase(
                "{dimension} is now a {kind}, but a {needed} is needed here.",
                dimension=str(dimension),
                kind=dimension.kind,
                needed=needed,
            )
        )
    reading, doubts = taken
    origin = Origin(
        path,
        label,
        "dimension",
        str(dimension),
        value=reading.value,
        tolerance=reading.tolerance,
        quantity=dimension.kind,
        reading=reading.pk,
        instrument=reading.instrument,
        person=person_name(reading.person),
        on=reading.measured_on.isoformat(),
        datum=dimension.datum,
        doubts=doubts,
    )
    own = {path: Tolerance(reading.tolerance, reading=phrase("measurement {pk}", pk=reading.pk))}
    return field.kind.from_si(reading.value), origin, own


def _from_pattern(
    field: Field, label: str, given: Input, pattern: HolePattern, cut: Cut | None, pieces: JobPieces
) -> Taken:
    path, newer = given.path, getattr(given, "newer_pattern", None)
    if pattern.is_deleted:
        raise _Missing(
            phrase(
                "The hole pattern {pattern} was deleted: {deleted_reason}",
                pattern=str(pattern),
                deleted_reason=pattern.deleted_reason,
            )
        )
    if not takes_pattern(field):
        raise _Missing(phrase("This input cannot be taken from a hole pattern; edit the worksheet."))
    rows = pattern_rows(field, pattern)
    # A face that was measured again is a change, whatever it came to: somebody has to look.
    known = [rows, newer] if newer else rows
    digest = hashlib.sha256(json.dumps(known).encode()).hexdigest()[:16]
    who = person_name(pattern.person)
    words = phrase("{pattern}, measured {isoformat}", pattern=str(pattern), isoformat=pattern.measured_on.isoformat())
    origin = Origin(
        path,
        label,
        "pattern",
        words,
        content=digest,
        instrument=pattern.instrument,
        person=who,
        on=pattern.measured_on.isoformat(),
        datum=pattern.datum,
        doubts=tuple(pattern_doubts(pattern, newer, pieces)),
    )
    if cut is None or path not in tuple(Side):
        return rows, origin, _hole_tolerances(field, path, pattern, ())
    assert field.row is not None
    try:
        as_cut = cut.rows(field.row, pattern, Side(path), mirrored_sign(pattern))
    except ValueError as wrong:
        raise _Missing(
            phrase("A hole's thread cannot be machined from the tables: {wrong}", wrong=str(wrong))
        ) from None
    gone = [hole.name for hole in pattern.holes.all() if cut.is_left_out(path, hole.name)]
    return as_cut, origin, _hole_tolerances(field, path, pattern, gone)


def takes_pattern(field: Field) -> bool:
    """Whether a list can be taken from a whole hole pattern: its rows have a place."""
    return field.form == "records" and field.row is not None and {"x", "y"} <= set(fields_of(field.row))


def mirrored_sign(pattern: HolePattern) -> float:
    """What turns a pattern's x into that seen from the gearbox side: −1 where it was seen from the engine side."""
    return 1.0 if pattern.seen_from == HolePattern.SeenFrom.GEARBOX else -1.0


def pattern_rows(field: Field, pattern: HolePattern) -> list[dict[str, Any]]:
    """A pattern as the rows of a list, in mm as seen from the gearbox side; its outline where rows are bare points."""
    assert field.row is not None
    columns = fields_of(field.row)
    side = mirrored_sign(pattern)
    if "name" not in columns:
        return [{"x": side * x, "y": y} for x, y in pattern.outline]
    return [
        {name: side * hole.x if name == "x" else getattr(hole, name) for name in columns if hasattr(hole, name)}
        for hole in pattern.holes.all()
    ]


def _hole_tolerances(field: Field, path: str, pattern: HolePattern, gone: Collection[str]) -> dict[str, Tolerance]:
    assert field.row is not None
    if "name" not in fields_of(field.row):
        return {}
    kept = [hole for hole in pattern.holes.all() if hole.name not in gone]
    sure = {at: hole.uncertainty for at, hole in enumerate(kept) if hole.uncertainty}
    length = units.LENGTH
    return {
        f"{path}.{at}.{axis}": Tolerance(
            length.to_si(half), reading=phrase("pattern {pk} {at} {axis}", pk=pattern.pk, at=at, axis=axis)
        )
        for at, half in sure.items()
        for axis in ("x", "y")
    }
