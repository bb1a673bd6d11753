"""A part of a question as the address of its own calculation, so that it is kept without typing anything again."""

from __future__ import annotations

from typing import Any

from shop.calculate.address import as_address
from shop.calculate.forms import CalculationForm
from specs.engine.fields import Field, fields_of
from specs.engine.question import PartAnswer, Question, QuestionPart


def part_address(question: Question, found: PartAnswer, form: CalculationForm) -> str:
    """What was typed for a part, as it was typed; what it takes from an earlier part as that found it, with its ±."""
    part = next(part for part in question.parts if part.key == found.key)
    request = {name: _given(question, part, name, found, form) for name in fields_of(part.declared.inputs)}
    address = as_address({name: given for name, given in request.items() if given not in (None, "", [], ())})
    address["units"] = form.system
    return address.urlencode()


def _given(question: Question, part: QuestionPart, name: str, found: PartAnswer, form: CalculationForm) -> Any:
    if name in part.shares:
        key, _, shared = part.shares[name].partition(".")
        before = next(one for one in question.parts if one.key == key)
        earlier = next(one for one in form.answer.found.parts if one.key == key) if form.answer else found
        return _given(question, before, shared, earlier, form)
    if name not in part.takes and name not in part.fixed:
        return form.request.get(f"{part.key}_{name}")
    declared = fields_of(part.declared.inputs)[name]
    return _in_words(declared, getattr(found.answer.given, name), _half(part.takes.get(name, ""), form))


def _half(taken: str, form: CalculationForm) -> float:
    band = form.banded.outputs.get(taken.replace(".", "_", 1)) if form.banded and taken else None
    return band.half if band else 0.0


def _in_words(declared: Field, value: Any, half: float) -> Any:
    """A value (SI) as somebody would type it, with every figure that it has."""
    kind = declared.kind
    if declared.form != "quantity" or kind is None or value is None:
        return list(value) if isinstance(value, tuple) else value
    unit = "" if kind.unit == "1" else f" {kind.unit}"
    around = f" ± {kind.from_si(half):.3g}{unit}" if half else ""
    return f"{kind.from_si(value):.12g}{unit}{around}"
