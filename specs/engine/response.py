"""A request answered in plain JSON values: what the command prints."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from typing import IO, Any

from specs.engine.answer import Answer, plain_inputs, plain_outputs, solve_given
from specs.engine.bands import Band, Banded, holding, with_bands
from specs.engine.calculation import BadInput, calculations, find
from specs.engine.checks import Check
from specs.engine.entry import read_all
from specs.engine.fields import Field, Tolerance, fields_of
from specs.phrase import phrase


def plain(answer: Answer, banded: Banded | None = None) -> dict[str, Any]:
    """Write a whole answer as the object that the command prints; with bands where tolerances were given."""
    calculation, given = answer.calculation, answer.given
    written: dict[str, Any] = {
        "calculation": calculation.name,
        "inputs": plain_inputs(calculation, given),
        "outputs": plain_outputs(calculation, answer.found),
        "checks": [_plain_check(check, banded) for check in answer.checks],
        "cautions": list(answer.cautions),
        "sources": list(calculation.cited),
    }
    if banded:
        _add_tolerances(written["inputs"], fields_of(calculation.inputs), banded.tolerances)
        _add_bands(written["outputs"], fields_of(calculation.outputs), banded.numbers)
        written["exact"] = list(banded.exact)
        written["cautions"] = [*banded.cautions, *written["cautions"]]
    return written


def _plain_check(check: Check, banded: Banded | None) -> dict[str, Any]:
    return {
        "name": check.name,
        "passed": check.passed,
        "verdict": holding(check, banded) if banded else check.verdict,
        "margin": check.margin,
        "detail": phrase("not known: {detail}", detail=check.detail) if check.passed is None else check.detail,
    }


def _add_bands(outputs: dict[str, Any], fields: Mapping[str, Field], bands: Mapping[str, Band]) -> None:
    """Put each band beside its number: a list has one for each entry, a row one for each of its columns."""
    for path, band in bands.items():
        name, *rest = path.split(".")
        held, field = outputs[name], fields[name]
        if not rest:
            held["band"] = _ends(band, field)
        elif len(rest) == 1:
            held.setdefault("band", [None] * len(held["list"]))[int(rest[0])] = _ends(band, field)
        elif field.row is not None:
            row, column = held["rows"][int(rest[0])], fields_of(field.row)[rest[1]]
            row.setdefault("band", {})[rest[1]] = _ends(band, column)


def _ends(band: Band, field: Field) -> dict[str, float]:
    assert field.kind is not None
    return {"low": field.kind.from_si(band.low), "high": field.kind.from_si(band.high)}


def _add_tolerances(inputs: dict[str, Any], fields: Mapping[str, Field], tolerances: Mapping[str, Tolerance]) -> None:
    """Write inputs with their tolerances, so that they can be sent again as they are."""
    for path, tolerance in tolerances.items():
        name, *rest = path.split(".")
        place: Any = inputs
        for part in (name, *rest)[:-1]:
            place = place[int(part)] if isinstance(place, list) else place[part]
        row = fields[name].row
        field = fields_of(row)[rest[-1]] if row is not None else fields[name]
        last: Any = int(path.rpartition(".")[2]) if isinstance(place, list) else path.rpartition(".")[2]
        place[last] = _with_tolerance(place[last], tolerance, field)


def _with_tolerance(value: float, tolerance: Tolerance, field: Field) -> dict[str, Any]:
    assert field.kind is not None
    held: dict[str, Any] = {"value": value, "tolerance": field.kind.from_si(tolerance.half)}
    if tolerance.limits:
        held["tolerance_is"] = "limits"
    return held | ({"reading": tolerance.reading} if tolerance.reading else {})


def respond(name: Any, request: Any) -> dict[str, Any]:
    """Answer a request by calculation name; {"errors": {...}} where it is refused."""
    calculation = find(name) if isinstance(name, str) else None
    if calculation is None:
        return {"errors": {"calculation": f"is not known. Known: {', '.join(calculations())}."}}
    try:
        given, tolerances = read_all(calculation, request)
        if not tolerances:
            return plain(solve_given(calculation, given))
        banded = with_bands(calculation, given, tolerances)
        return plain(banded.answer, banded)
    except BadInput as bad:
        return {"errors": bad.errors}


def answer_lines(requests: Iterable[str], to: IO[str]) -> None:
    """Answer each line with one line, errors included, in order; nothing that a line holds ends the batch."""
    for line in requests:
        to.write(f"{_written(_respond_to_line(line))}\n")


# What is answered holds no circle; to look for one took a tenth of the time.
_WRITE = json.JSONEncoder(check_circular=False).encode


def _written(answered: dict[str, Any]) -> str:
    """Write one answer; cautions and sources, most of its text and mostly the same, are written once."""
    sources = answered.pop("sources", None)
    if sources is None:
        return _WRITE(answered)
    cautions = answered.pop("cautions")
    written = _WRITE(answered)
    return phrase(
        '{written}, "cautions": {encoded}, "sources": {encoded_2}}}',
        written=written[:-1],
        encoded=_encoded(tuple(cautions)),
        encoded_2=_encoded(tuple(sources)),
    )


@lru_cache(maxsize=512)
def _encoded(words: tuple[str, ...]) -> str:
    return _WRITE(words)


class _Repeated(ValueError):
    """A JSON object that names one key twice: which value is meant is anybody's guess."""


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    held = dict(pairs)
    if len(held) < len(pairs):
        raise _Repeated(next(name for at, (name, _) in enumerate(pairs) if name in dict(pairs[:at])))
    return held


_READ = json.JSONDecoder(object_pairs_hook=_once_each)


def respond_to_text(text: str, name: str | None) -> dict[str, Any]:
    """Answer one request, a JSON object of inputs, for the calculation of that name."""
    return _respond(
        text, phrase("must be one JSON object of input names and values."), lambda request: respond(name, request)
    )


def _respond_to_line(line: str) -> dict[str, Any]:
    if not line.strip():
        return {"errors": {"inputs": f"nothing stands in this line; it {_LINE}"}}
    return _respond(line, _LINE, _answer_line)


_LINE = phrase('must be a JSON object {"calculation": ..., "inputs": {...}}.')


def _respond(text: str, needed: str, answer: Callable[[dict[str, Any]], dict[str, Any]]) -> dict[str, Any]:
    try:
        request = _READ.decode(text)
    except _Repeated as repeated:
        return {"errors": {str(repeated): "is given twice; give it once."}}
    except (ValueError, RecursionError):
        request = None
    if not isinstance(request, dict):
        return {"errors": {"inputs": needed}}
    try:
        return answer(request)
    except Exception as fault:  # noqa: BLE001 (a fault of ours is told in its place; the other lines are answered)
        return {"errors": {"inputs": f"cannot be worked out: a fault of this program ({type(fault).__name__})."}}


def _answer_line(request: dict[str, Any]) -> dict[str, Any]:
    unknown = request.keys() - {"calculation", "inputs"}
    if unknown:
        return {"errors": dict.fromkeys(sorted(unknown), f"is not known beside inputs: a line {_LINE}")}
    return respond(request.get("calculation"), request.get("inputs", {}))
