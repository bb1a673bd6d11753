"""Worksheets as they stand today: every one worked out again from today's readings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, field, fields, replace
from functools import cached_property, lru_cache
from typing import Any

from django.db.models import prefetch_related_objects
from django.utils.translation import get_language, gettext

from shop.base.roles import person_name
from shop.worksheets.bindings import Input, Resolved, resolve
from shop.worksheets.job_pieces import job_pieces, typed_beside_record
from shop.worksheets.models import AcceptedRecord, Worksheet
from shop.worksheets.plate_cut import PlateCut, plate_cut, record_origins
from shop.worksheets.rules import IN_DOUBT, Origin, Result, Verdict, WorksheetStatus, compare, token
from shop.worksheets.what_states_read import for_states, what_states_read
from specs.engine.answer import plain_inputs, plain_outputs, solve_given
from specs.engine.bands import Banded, holding, with_bands
from specs.engine.calculation import BadInput, Calculation, find
from specs.engine.checks import Check
from specs.engine.entry import read, read_all
from specs.engine.fields import label_at
from specs.phrase import as_kept, from_kept, phrase
from specs.plate.sides import Side
from specs.written import PLAIN, written_as


@dataclass(frozen=True)
class EvaluatedWorksheet:
    """A worksheet, what it comes to today, what was accepted last, and how the two stand to one another."""

    worksheet: Worksheet
    calculation: Calculation[Any, Any] | None
    resolved: Resolved | None
    banded: Banded | None
    result: Result | None
    accepted: AcceptedRecord | None
    status: WorksheetStatus

    @property
    def given(self) -> Any:
        return self.banded.answer.given if self.banded else None

    @property
    def found(self) -> Any:
        return self.banded.answer.found if self.banded else None

    @cached_property
    def token(self) -> str:
        """What accepting has to name: a digest of the result shown; empty where there is none."""
        return token(self.result) if self.result else ""

    @property
    def accepted_alone(self) -> str:
        """Say that whoever wrote the inputs accepted them too, where that is so: nobody else has looked at them."""
        written = max(self.worksheet.inputs.all(), key=lambda held: (held.set_at, held.pk), default=None)
        if self.accepted is None or written is None or written.person_id != self.accepted.person_id:
            return ""
        return gettext("{person_name} wrote it and accepted it: a second person accepts it too").format(
            person_name=person_name(self.accepted.person)
        )

    @property
    def problems(self) -> list[tuple[str, str]]:
        """Why it cannot be worked out: the input in words, and what is wrong with it."""
        of = self.calculation
        return [(label_at(of.inputs, path) if of else path, why) for path, why in self.status.problems.items()]


def worksheet_states(worksheets: Iterable[Worksheet]) -> list[EvaluatedWorksheet]:
    """The states of these worksheets, in their order, in a constant number of queries.

    Worksheets fetched by `for_states(Worksheet.objects.all())` cost none more.
    """
    sheets = list(worksheets)
    prefetch_related_objects(sheets, *what_states_read())
    return [work_out(sheet) for sheet in sheets]


def worksheet_state(worksheet: Worksheet) -> EvaluatedWorksheet:
    """The state of one worksheet, read afresh."""
    return work_out(for_states(Worksheet.objects.all()).get(pk=worksheet.pk))


def worksheet_statuses(worksheets: Iterable[Worksheet]) -> dict[int, WorksheetStatus]:
    """How each of these worksheets stands, by its key: as `worksheet_states`, without the answers."""
    return {key: state.status for key, state in states_in_brief(worksheets).items()}


def states_in_brief(worksheets: Iterable[Worksheet]) -> dict[int, EvaluatedWorksheet]:
    """How each of these worksheets stands, by its key, with its record; an answer only where something moved.

    A calculation answers the same to the same: where revision and every input are those accepted, nothing is solved.
    """
    sheets = list(worksheets)
    prefetch_related_objects(sheets, *what_states_read())
    return {sheet.pk: _unmoved(sheet) or work_out(sheet) for sheet in sheets}


def _unmoved(worksheet: Worksheet) -> EvaluatedWorksheet | None:
    """A worksheet none of whose inputs moved since it was accepted, without an answer; None where it has to be solved.

    Hole patterns are always solved: how well their holes are known is not kept in a record.
    """
    accepted = next(iter(worksheet.last_accepted), None)  # type: ignore[attr-defined]
    calculation = find(worksheet.calculation)
    if accepted is None or calculation is None or accepted.revision != calculation.revision:
        return None
    before, resolved = result_of(accepted), resolved_worksheet(calculation, worksheet)
    if resolved.problems or any(origin.kind == "pattern" for origin in resolved.origins):
        return None
    if [asdict(origin) for origin in before.origins] != [asdict(origin) for origin in resolved.origins]:
        return None
    return EvaluatedWorksheet(worksheet, calculation, None, None, None, accepted, compare(before, before))


@written_as(PLAIN)  # what is kept and compared says the same to everyone
def work_out(worksheet: Worksheet) -> EvaluatedWorksheet:
    """Work out one worksheet that was fetched `for_states`."""
    accepted = next(iter(worksheet.last_accepted), None)  # type: ignore[attr-defined]
    before = result_of(accepted) if accepted else None
    calculation = find(worksheet.calculation)
    if calculation is None:
        gone = {"": phrase('The calculation "{calculation}" is not there any more.', calculation=worksheet.calculation)}
        return EvaluatedWorksheet(worksheet, None, None, None, None, accepted, compare(before, None, gone))
    resolved = resolved_worksheet(calculation, worksheet)
    banded, problems = answer_from(calculation, resolved)
    result = result_from(calculation, resolved, banded) if banded else None
    status = compare(before, result, problems)
    return EvaluatedWorksheet(worksheet, calculation, resolved, banded, result, accepted, status)


@written_as(PLAIN)
def resolved_worksheet(calculation: Calculation[Any, Any], worksheet: Worksheet) -> Resolved:
    """Resolve a worksheet's inputs, of a plate as it is cut; its title, component and making are origins too."""
    cut = plate_cut(worksheet)
    resolved = resolve(calculation, worksheet.inputs.all(), cut, job_pieces(worksheet))
    request = {**resolved.request}
    if cut:
        request |= {side: _cut_typed(request[side], side, cut) for side in tuple(Side) if side in request}
    given = (_beside_record(origin, worksheet) for origin in resolved.origins)
    origins = (*given, *(cut.origins if cut else ()), *record_origins(worksheet))
    return replace(resolved, request=request, origins=origins)


def _beside_record(origin: Origin, worksheet: Worksheet) -> Origin:
    if origin.kind != "typed" or origin.value is None or worksheet.component is None:
        return origin
    found = typed_beside_record(origin.path, origin.quantity, origin.value, origin.tolerance, worksheet.component)
    return replace(origin, doubts=tuple(found))


def _cut_typed(rows: Any, side: str, cut: PlateCut) -> Any:
    kept = [row for row in rows if not (isinstance(row, dict) and cut.is_left_out(side, str(row.get("name", ""))))]
    return kept if isinstance(rows, list) else rows


def answer_from(calculation: Calculation[Any, Any], resolved: Resolved) -> tuple[Banded | None, Mapping[str, str]]:
    """Solve what was resolved, with its bands; or say what is wrong, by input."""
    if resolved.problems:
        return None, resolved.problems
    asked = id(calculation), get_language(), resolved.request, resolved.tolerances
    return _answer_of(_Solving(repr(asked), calculation, resolved))


@dataclass(frozen=True)
class _Solving:
    asked: str
    calculation: Calculation[Any, Any] = field(compare=False)
    resolved: Resolved = field(compare=False)


@lru_cache(maxsize=256)  # The same inputs have the same answer, in the same words.
def _answer_of(one: _Solving) -> tuple[Banded | None, Mapping[str, str]]:
    try:
        given, typed = read_all(one.calculation, one.resolved.request)
        return with_bands(one.calculation, given, {**typed, **one.resolved.tolerances}), {}
    except BadInput as bad:
        return None, bad.errors


def solve_inputs(calculation: Calculation[Any, Any], inputs: Iterable[Input]) -> Mapping[str, str]:
    """What is wrong with inputs that somebody wants to keep, by path; a dimension without a reading is not."""
    given = list(inputs)
    prefetch_related_objects([held.dimension for held in given if held.dimension], "measurements__person")
    resolved = resolve(calculation, given)
    waiting = {path.split(".")[0] for path in resolved.problems}
    try:
        solve_given(calculation, read(calculation, resolved.request))
    except BadInput as bad:
        return {name: why for name, why in bad.errors.items() if name not in waiting}
    return {}


@written_as(PLAIN)
def result_from(calculation: Calculation[Any, Any], resolved: Resolved, banded: Banded) -> Result:
    """Write a solved worksheet in plain values."""
    answer = banded.answer
    doubted = any(origin.doubts for origin in resolved.origins)
    return Result(
        revision=calculation.revision,
        inputs=plain_inputs(calculation, answer.given),
        outputs=plain_outputs(calculation, answer.found),
        checks=[
            Verdict(check.name, _verdict(check, banded, doubted), check.margin, check.detail, passes=bool(check.passed))
            for check in answer.checks
        ],
        origins=list(resolved.origins),
    )


def _verdict(check: Check, banded: Banded, doubted: bool) -> str:
    said = holding(check, banded)
    return IN_DOUBT if doubted and said == "holds" else said


def result_of(record: AcceptedRecord) -> Result:
    """Read an accepted record as the plain result that it kept."""
    return Result(
        revision=record.revision,
        inputs=record.inputs,
        outputs=record.outputs,
        checks=[_known(Verdict, check) for check in record.checks],
        origins=[_known(Origin, origin) for origin in record.sources],
    )


_SAID = ("name", "detail", "label", "words", "datum", "doubts")
"""What of a kept record is a text that its reader is told, and no word that the program compares."""


def _known(kind: Any, kept: Mapping[str, Any]) -> Any:
    # A record outlives this program's versions: what it holds beyond today's fields stays in it, unread.
    held = {field.name: kept[field.name] for field in fields(kind) if field.name in kept}
    return kind(**{name: from_kept(value) if name in _SAID else value for name, value in held.items()})


def record_fields(result: Result) -> dict[str, Any]:
    """A result as the fields of an AcceptedRecord."""
    return {
        "revision": result.revision,
        "inputs": dict(result.inputs),
        "outputs": dict(result.outputs),
        "checks": as_kept([asdict(check) for check in result.checks]),
        "sources": as_kept([asdict(origin) for origin in result.origins]),
    }


def stored_bands(banded: Banded) -> dict[str, Any]:
    """The ends of the results' bands [SI], as kept, by output name."""
    return {name: {"low": band.low, "high": band.high} for name, band in banded.outputs.items()}
