"""A worksheet line by line, for pages and print alike: verdict and checks, inputs, results, today's and accepted."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.base import written
from shop.base.language import gettext_lazy
from shop.base.roles import person_name
from shop.calculate.answer_text import Presented
from shop.calculate.shown_check import MARKS
from shop.calculate.verdict_text import VerdictText
from shop.worksheets.evaluation import EvaluatedWorksheet, result_of
from shop.worksheets.models import AcceptedRecord
from shop.worksheets.rules import MADE, RECORD, Origin, OutputDifference, Verdict, WorksheetState, WorksheetStatus
from shop.worksheets.text import (
    Change,
    StatusText,
    credit,
    origin_words,
    plain_words,
    present_state,
    result_change,
    sized,
    status_text,
)
from specs.engine.bands import band_words
from specs.engine.calculation import Calculation, find
from specs.engine.fields import fields_of, label_at
from specs.engine.units import System
from specs.phrase import phrase

# How a doubt about a reading begins where it stands among the checks.
DOUBT = gettext_lazy("In doubt: ")


@dataclass(frozen=True)
class InputLine:
    """One input as a page lists it: what it is, and where it comes from; `together`: its value stays on one line.

    is_pattern: a whole hole pattern was taken for it, which its source names. address: of what it is taken from.
    """

    label: str
    value: str
    source: str
    credit: str
    address: str = ""
    moved: bool = False
    together: bool = False
    is_pattern: bool = False


def input_lines(state: EvaluatedWorksheet, system: System = "metric") -> list[InputLine]:
    """Every input that was given, with its source."""
    taken = {held.path: held.dimension or held.pattern for held in state.worksheet.inputs.all()}
    links = {path: one.get_absolute_url() for path, one in taken.items() if one}
    moved = {cause.path for cause in state.status.causes}
    return [
        InputLine(
            origin.label,
            (value := sized(origin, system)),
            _source(origin, value),
            credit(origin),
            links.get(origin.path, ""),
            origin.path in moved,
            bool(origin.quantity),
            origin.kind == "pattern",
        )
        for origin in (state.resolved.origins if state.resolved else ())
        if origin.kind != RECORD
    ]


def _source(origin: Origin, value: str) -> str:
    """Where the value comes from; what was typed only where it reads otherwise than the value."""
    if origin.kind == MADE:
        return gettext("the plate's own pages")
    if origin.kind == "pattern" and origin.on:
        return str(origin.words).replace(origin.on, written.day(date.fromisoformat(origin.on)))
    if origin.kind != "typed":
        return origin.words
    return gettext("typed") if origin.words == value else gettext("typed: {words}").format(words=origin.words)


@dataclass(frozen=True)
class OutputLine:
    """One result today beside the accepted one; `differs` where they are not the same."""

    label: str
    symbol: str
    now: str
    band: str
    before: str
    differs: bool
    by: str = ""
    together: bool = False

    @property
    def plain_band(self) -> str:
        """The band under a heading that has the sign already."""
        return str(self.band).removeprefix("± ")


def output_lines(state: EvaluatedWorksheet, system: System = "metric") -> list[OutputLine]:
    """Today's results, each beside the accepted one where something was accepted."""
    if state.calculation is None or state.result is None:
        return []
    moved = {change.name: change for change in state.status.differences}
    return [
        _output_line(state, state.calculation, name, moved.get(name), system)
        for name in fields_of(state.calculation.outputs)
        if name in state.result.outputs or name in moved
    ]


def _output_line(
    state: EvaluatedWorksheet,
    calculation: Calculation[Any, Any],
    name: str,
    moved: OutputDifference | None,
    system: System,
) -> OutputLine:
    assert state.result is not None
    assert state.banded is not None
    field = fields_of(calculation.outputs)[name]
    spread = state.banded.outputs.get(name)
    half = spread.half if spread else 0.0
    accepted = state.accepted.outputs.get(name) if state.accepted else None
    change = result_change(state, moved, system) if moved else None
    now = plain_words(field, state.result.outputs.get(name), system, half)
    kind = field.kind if field.form == "quantity" else None
    around = band_words(spread, kind, system) if spread and kind else ""
    before = change.before if change else plain_words(field, accepted, system, half) if accepted is not None else ""
    by = change.by if change else ""
    shown = change.now if change else now
    return OutputLine(field.label, field.symbol, shown, around, before, moved is not None, by, kind is not None)


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
    """Who accepted it and when, its results and checks as accepted; all empty where nothing was.

    `judged`: among the checks are others than doubts about readings.
    """

    accepted: str = ""
    results: tuple[tuple[str, str], ...] = ()
    checks: tuple[str, ...] = ()
    judged: bool = False


def accepted_text(record: AcceptedRecord | None, system: System) -> AcceptedText:
    """An accepted record as a card prints it."""
    if record is None:
        return AcceptedText()
    lines = accepted_lines(record, system)
    when = written.day(localtime(record.at))
    return AcceptedText(
        accepted=gettext("accepted by {person_name} on {when}, method revision {revision}").format(
            person_name=person_name(record.person), when=when, revision=record.revision
        ),
        results=lines.results,
        checks=(
            *(f"{DOUBT}{doubt}" for doubt in lines.doubts),
            *(f"{check.name}: {phrase(check.verdict)}" for check in lines.checks),
        ),
        judged=bool(lines.checks),
    )


def doubts_below(status: StatusText, presented: Presented | None) -> tuple[str, ...]:
    """The doubts that the verdict does not say: all but the first where that leads."""
    return status.doubts[1:] if _doubt_leads(status, presented) else status.doubts


def _doubt_leads(status: StatusText, presented: Presented | None) -> bool:
    """Whether nothing worse is to be said than that readings are in doubt."""
    worst = presented.verdicts[0][0] if presented and presented.verdicts else ""
    return bool(presented and status.doubts and worst in ("holds", ""))


def verdict_text(state: EvaluatedWorksheet, status: StatusText, presented: Presented | None) -> VerdictText:
    """Say whether it holds today; what holds and is not what was accepted is never said to hold without that."""
    if presented is None:
        why = status.problems[0] if status.problems else gettext("no input is given")
        return VerdictText(
            "fails" if state.accepted else "waiting",
            gettext("Cannot be worked out: {why}").format(why=why.removesuffix(".")),
            status.headline,
        )
    verdicts = presented.verdicts
    worst, word, those = verdicts[0] if verdicts else ("", gettext("Worked out"), "")
    headline = f"{word}: {those}" if worst not in ("holds", "") else word
    if worst == "unknown":  # Each says why it is not known: the first alone, the others are rows of their own.
        headline = presented.verdict.headline
    if _doubt_leads(status, presented):
        return VerdictText("check", gettext("In doubt: {doubts}").format(doubts=status.doubts[0]), status.headline)
    if worst in ("holds", "") and state.status.state is WorksheetState.CHANGED:
        return VerdictText(
            "check",
            gettext("{value}, but it is not what was accepted").format(value="Holds" if worst else word),
            status.headline,
        )
    mark = MARKS.get(worst, "done")
    return VerdictText("waiting" if mark == "done" and not state.accepted else mark, headline, status.headline)


@dataclass(frozen=True)
class WorksheetPage:
    """What the page of a worksheet says of how it stands today, in plain values.

    `question`: that of its calculation, "" where there is none any more; `transforms`: whether it judges nothing.
    `token`: what accepting has to name, "" where there is no result. `stands_by`: who accepted what is not out of date,
    else "".
    """

    question: str
    transforms: bool
    token: str
    is_accepted: bool
    stands_by: str
    accepted_alone: str
    status: WorksheetStatus
    status_text: StatusText
    verdict: VerdictText
    doubts: tuple[str, ...]
    causes: tuple[Change, ...]
    turned: tuple[Change, ...]
    inputs: tuple[InputLine, ...]
    outputs: tuple[OutputLine, ...]
    presented: Presented | None


def page_of(state: EvaluatedWorksheet, system: System) -> WorksheetPage:
    """Say how a worksheet stands that was worked out, for a reader of this unit system."""
    status, presented = status_text(state, system), present_state(state, system)
    of, accepted = state.calculation, state.accepted
    return WorksheetPage(
        question=of.question if of else "",
        transforms=bool(of and of.transforms),
        token=state.token,
        is_accepted=accepted is not None,
        stands_by=person_name(accepted.person) if accepted and not state.status.out_of_date else "",
        accepted_alone=state.accepted_alone,
        status=state.status,
        status_text=status,
        verdict=verdict_text(state, status, presented),
        doubts=doubts_below(status, presented),
        causes=tuple(cause for cause in status.causes if not cause.only_doubt),
        turned=tuple(check for check in status.checks if not check.only_doubt),
        inputs=tuple(input_lines(state, system)),
        outputs=tuple(output_lines(state, system)),
        presented=presented,
    )
