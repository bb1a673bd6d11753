"""A question that a fitter really asks, answered on one page out of several calculations.

A file in `specs/questions/` declares `QUESTION = Question(...)` and is found by being there; its name is the question's
address. The parts' own declarations make the form: a question is composed into one calculation whose inputs are those
of its parts, less what is shared between them, taken from an earlier part's result, or fixed.
"""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
from collections.abc import Container, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from types import MappingProxyType
from typing import Any

import specs.questions
from specs.engine.answer import Answer, solve_given
from specs.engine.bands import Banded
from specs.engine.calculation import BadInput, Calculation, Refused, calculations
from specs.engine.checks import Check
from specs.engine.fields import Field, fields_of
from specs.phrase import phrase


@dataclass(frozen=True)
class QuestionPart:
    """One calculation within a question.

    key: its short name within the question. heading: the heading of its inputs and of its answer.
    shares: its input → "part.input" of an earlier part that has the same value, typed once.
    takes: its input → "part.output" of an earlier part.
    fixed: its input → value (SI), not asked for.
    optional: left out where none of its own inputs is given, or where a part that it takes from was left out.
    """

    key: str
    calculation: str
    heading: str
    shares: Mapping[str, str] = field(default_factory=dict)
    takes: Mapping[str, str] = field(default_factory=dict)
    fixed: Mapping[str, Any] = field(default_factory=dict)
    optional: bool = False

    @property
    def declared(self) -> Calculation[Any, Any]:
        """The calculation itself."""
        return calculations()[self.calculation]

    def results(self) -> Iterator[tuple[str, Field]]:
        """The outputs of this part, by their name in the question."""
        for name, declared in fields_of(self.declared.outputs).items():
            yield f"{self.key}_{name}", dataclasses.replace(declared, optional=True)

    def own(self) -> Iterator[tuple[str, Field]]:
        """The inputs that this part asks for itself, by their name in the question."""
        elsewhere = {*self.shares, *self.takes, *self.fixed}
        for name, declared in fields_of(self.declared.inputs).items():
            if name not in elsewhere:
                yield (
                    f"{self.key}_{name}",
                    dataclasses.replace(
                        declared,
                        group=f"{self.heading}: {declared.group.lower()}" if declared.group else self.heading,
                        optional=declared.optional or (self.optional and declared.required),
                    ),
                )


@dataclass(frozen=True)
class Question:
    """A plain question, the parts that answer it, an example, and what the page leaves to the person.

    short: "part.output" of each result that the answer is given in, before all others.
    decided_by: keys of the parts whose checks answer the title; empty where it asks for a figure, not for yes or no.
    yes, no: how the answer begins where all of those hold, and where one fails.
    says: sentences with "{part.input}" or "{part.output}" in them, which follow; one that lacks a figure is left out.
    """

    title: str
    parts: tuple[QuestionPart, ...]
    short: tuple[str, ...]
    example: Mapping[str, Any]
    not_checked: tuple[str, ...]
    decided_by: tuple[str, ...] = ()
    yes: str = "Yes"
    no: str = "No"
    says: tuple[str, ...] = ()
    name: str = ""


@dataclass(frozen=True)
class PartAnswer:
    """One part's key and heading, and its answer."""

    key: str
    heading: str
    answer: Answer

    def banded(self, whole: Banded) -> Banded:
        """What the question's ± leave of this part: a reading that it shares moves it as it moves the others."""
        declared, ahead = self.answer.calculation, f"{self.key}_"
        inputs, outputs = fields_of(declared.inputs), fields_of(declared.outputs)
        checks = {check.name for check in self.answer.checks}

        def own(held: Mapping[str, Any], known: Container[str]) -> dict[str, Any]:
            plain = {path.removeprefix(ahead): one for path, one in held.items() if path.startswith(ahead)}
            return {path: one for path, one in plain.items() if path in known or path.partition(".")[0] in known}

        return Banded(
            answer=self.answer,
            tolerances=own(whole.tolerances, inputs),
            numbers=own(whole.numbers, outputs),
            slacks=own(whole.slacks, checks),
            verdicts=own(whole.verdicts, checks),
            exact=tuple(own(dict.fromkeys(whole.exact), inputs)),
            unanswered=whole.unanswered,
        )


@dataclass(frozen=True)
class Unanswered:
    """A part that an earlier part's result leaves without an answer, and why."""

    heading: str
    reason: str


@dataclass(frozen=True)
class Answers:
    """The answers of a question's parts. Its declared outputs repeat the parts' own, by "part_output"."""

    parts: tuple[PartAnswer, ...]
    unanswered: tuple[Unanswered, ...]


@cache
def questions() -> Mapping[str, Question]:
    """Give all questions by name, in the alphabet's order."""
    found = {}
    for module in sorted(entry.name for entry in pkgutil.iter_modules(specs.questions.__path__)):
        declared = importlib.import_module(f"specs.questions.{module}").QUESTION
        found[module.replace("_", "-")] = dataclasses.replace(declared, name=module.replace("_", "-"))
    return MappingProxyType(found)


@cache
def composed(name: str) -> Calculation[Any, Any]:
    """Give a question as one calculation, whose outputs hold the answers of its parts."""
    question = questions()[name]
    own = [pair for part in question.parts for pair in part.own()]
    inputs = _declared("Inputs", own)
    outputs = _declared("Outputs", [pair for part in question.parts for pair in part.results()], Answers)
    return Calculation(
        title=question.title,
        question=question.title,
        area=phrase("Questions"),
        inputs=inputs,
        outputs=outputs,
        solve=lambda given: _repeated(outputs, answers_of(question, given)),
        checks=lambda given, found: tuple(_checks(found)),
        working=lambda given, found: (),
        cautions=(),
        sources=(),
        limits=(),
        example=question.example,
        not_checked=question.not_checked,
        name=question.name,
    )


def _declared(name: str, fields: Iterable[tuple[str, Field]], *bases: type) -> type:
    made = [(key, Any, dataclasses.field(metadata={"declared": declared})) for key, declared in fields]
    return dataclasses.make_dataclass(name, made, bases=bases, frozen=True, kw_only=True)


def _repeated(outputs: type, answers: Answers) -> Any:
    found = {f"{part.key}_{name}": value for part in answers.parts for name, value in vars(part.answer.found).items()}
    absent = {name: None for name in fields_of(outputs) if name not in found}
    return outputs(answers.parts, answers.unanswered, **found, **absent)


def _checks(answers: Answers) -> Iterator[Check]:
    for part in answers.parts:
        for check in part.answer.checks:
            yield dataclasses.replace(check, name=f"{part.key}_{check.name}")


class _Taken(ValueError):
    """Refused for what an earlier part found, not for anything that was typed for this one; the words say which."""


def answers_of(question: Question, given: Any) -> Answers:
    """Answer every part in turn (SI). Raises Refused at the question's input that has to change.

    A part does not take the answers before it away: where their results leave it without one, it says why.
    """
    answers: dict[str, Answer] = {}
    unanswered = []
    for part in question.parts:
        if _left_out(part, given, answers):
            continue
        try:
            answers[part.key] = _answer(question, part, given, answers)
        except _Taken as taken:
            unanswered.append(Unanswered(part.heading, str(taken)))
    found = (PartAnswer(part.key, part.heading, answers[part.key]) for part in question.parts if part.key in answers)
    return Answers(tuple(found), tuple(unanswered))


def _left_out(part: QuestionPart, given: Any, answers: Mapping[str, Answer]) -> bool:
    if not part.optional:
        return False
    needed = {source.partition(".")[0] for source in (*part.takes.values(), *part.shares.values())}
    own = [getattr(given, name) for name, declared in part.own() if declared.optional]
    return not needed <= answers.keys() or all(value is None for value in own)


def _answer(question: Question, part: QuestionPart, given: Any, answers: Mapping[str, Answer]) -> Answer:
    values: dict[str, Any] = dict(part.fixed)
    for name, source in part.shares.items():
        values[name] = getattr(answers[source.partition(".")[0]].given, source.partition(".")[2])
    for name, source in part.takes.items():
        values[name] = getattr(answers[source.partition(".")[0]].found, source.partition(".")[2])
    for name, declared in fields_of(part.declared.inputs).items():
        values.setdefault(name, getattr(given, f"{part.key}_{name}", None))
        if values[name] is None and not declared.optional:
            raise Refused(
                _asked_as(question, part, name),
                phrase("{label} is needed for “{heading}”.", label=declared.label, heading=part.heading),
            )
    try:
        return solve_given(part.declared, part.declared.inputs(**values))
    except BadInput as bad:
        name, reason = next(iter(bad.errors.items()))
        if name not in part.takes:
            raise Refused(_asked_as(question, part, name), reason) from None
        label, before = fields_of(part.declared.inputs)[name].label, _part(question, part.takes[name]).heading
        raise _Taken(phrase("{label}, from “{before}”, {reason}", label=label, before=before, reason=reason)) from None


def _asked_as(question: Question, part: QuestionPart, name: str) -> str:
    """The question's input behind a part's input: the one it shares, its own, or its first if it asks for none."""
    if name in part.shares:
        source = part.shares[name]
        return _asked_as(question, _part(question, source), source.partition(".")[2])
    asked = f"{part.key}_{name}"
    own = [name for name, _ in part.own()]
    return asked if asked in own else own[0]


def _part(question: Question, source: str) -> QuestionPart:
    """The part behind "part.input" or "part.output"."""
    return next(part for part in question.parts if part.key == source.partition(".")[0])
