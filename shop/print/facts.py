"""What a sheet says, frozen at the moment it was printed: plain values in the reader's units, nothing left to look up.

A printed record keeps these facts beside the PDF; later edits of the job, the readings or the orders do not reach it.
"""

from __future__ import annotations

import types
from collections.abc import Mapping
from dataclasses import dataclass, fields, is_dataclass
from enum import StrEnum
from functools import cache
from typing import Any, TypeVar, cast, get_args, get_origin, get_type_hints

from specs.phrase import Phrase
from specs.written import Days, Mark, WrittenForm

Pair = tuple[str, str]
F = TypeVar("F")


@dataclass(frozen=True)
class Heading:
    """What the title block says (fields of ISO 7200). `address` is what the code opens; `approved_by` may be left to
    be signed. `written` is the mark and the days of `form`, empty for the plain one; `language` the code of that in
    which the sheet is said, empty for the shop's own; `at` the moment of `date` (ISO 8601).
    """

    title: str
    document_type: str
    number: str
    date: str
    made_by: str
    owner: str
    address: str
    revision: str = ""
    approved_by: str = ""
    written: str = ""
    language: str = ""
    at: str = ""

    @property
    def form(self) -> WrittenForm:
        """How figures and days are written on the sheet, as whoever printed it reads them."""
        mark, _, days = self.written.partition(" ")
        return WrittenForm(cast(Mark, mark), cast(Days, days)) if days else WrittenForm()


def form_words(form: WrittenForm) -> str:
    """A form as a heading keeps it.

    >>> form_words(WrittenForm(",", "iso")), form_words(WrittenForm())
    (', iso', '')
    """
    return "" if form == WrittenForm() else f"{form.mark} {form.days}"


@dataclass(frozen=True)
class Told:
    """A text with what follows from it. Nobody reads that out of its words, which are those of some language.

    stops: it says why something may not be done. A kind of text that means more has a class of its own, whose text is
    called `said` as well: an older sheet kept the text alone, and is compared with that.
    """

    said: str
    stops: bool = False

    @classmethod
    def of_old(cls, said: str) -> Told:
        """What an older sheet kept, which was always English."""
        return cls(said, said.startswith(("DO NOT", "NOT")))


@dataclass(frozen=True)
class SheetFacts:
    """Everything on a printed worksheet; `lines` of working as (symbol = symbols, = numbers, = result, note).

    `urgent` holds the cautions that the numbers call for, `cautions` the usual ones.
    """

    heading: Heading
    question: str
    status: tuple[str, ...]
    inputs: tuple[tuple[str, str, str, str], ...]
    results: tuple[tuple[str, str, str], ...]
    checks: tuple[Pair, ...]
    lines: tuple[tuple[str, str, str, str], ...]
    tables: tuple[tuple[str, tuple[str, ...], tuple[tuple[str, ...], ...]], ...]
    cautions: tuple[str, ...]
    not_checked: tuple[str, ...]
    limits: tuple[str, ...]
    sources: tuple[str, ...]
    method: str
    drawing: Mapping[str, Any] | None
    urgent: tuple[str, ...] = ()


@dataclass(frozen=True)
class MeasuringRow:
    """A line of a blank measuring sheet: what to measure, from which datum, with what, the last figure on record.

    usual: by what the sketches know it, where it is one of those that are usually measured.
    """

    name: str
    datum: str
    instrument: str
    unit: str
    on_record: str
    usual: str = ""


@dataclass(frozen=True)
class MeasuringFacts:
    """Everything on a blank measuring sheet. `kind`: of the component, as a code. `holes_unit`: of the holes' places,
    where that is not mm.
    """

    heading: Heading
    component: tuple[Pair, ...]
    rows: tuple[MeasuringRow, ...]
    holes: bool
    advice: tuple[str, ...]
    holes_unit: str = ""
    kind: str = ""


def freeze(facts: Any) -> Any:
    """Facts as JSON values, in the language of now: a word out of a few as its code, any other text as it is said."""
    if is_dataclass(facts):
        return {name: freeze(getattr(facts, name)) for name in _hints(type(facts))}  # type: ignore[arg-type]
    if isinstance(facts, Mapping):
        return {name: freeze(value) for name, value in facts.items()}
    if isinstance(facts, list | tuple):
        return type(facts)(map(freeze, facts))
    if isinstance(facts, StrEnum):
        return facts.value
    return str(facts) if isinstance(facts, Phrase) else facts


def thaw(kind: type[F], kept: Mapping[str, Any]) -> F:
    """Facts back from JSON values: lists become tuples, objects the dataclasses that they were, codes their words."""
    hints = _hints(kind)  # type: ignore[arg-type]
    return kind(**{name: _thawed(hint, kept[name]) for name, hint in hints.items() if name in kept})


@cache
def _hints(kind: type[Any]) -> dict[str, Any]:
    """The fields of a dataclass with their types."""
    hints = get_type_hints(kind)
    return {field.name: hints[field.name] for field in fields(kind)}


def _thawed(hint: Any, value: Any) -> Any:
    if value is None:
        return None
    if get_origin(hint) in (types.UnionType,):
        hint = next(option for option in get_args(hint) if option is not type(None))
    if is_dataclass(hint):
        return cast(Any, hint).of_old(value) if isinstance(value, str) else thaw(hint, value)  # type: ignore[arg-type]
    if isinstance(hint, type) and issubclass(hint, StrEnum):
        return hint(value)
    if get_origin(hint) is tuple:
        inner = get_args(hint)
        each = [inner[0]] * len(value) if len(inner) == 2 and inner[1] is Ellipsis else inner
        return tuple(_thawed(one, entry) for one, entry in zip(each, value, strict=True))
    return value
