"""How a worksheet stands, in a person's words and units: for pages, the first page and print alike."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.base import written
from shop.base.roles import person_name
from shop.base.written import num
from shop.calculate.answer_text import Presented, present
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.rules import IN_DOUBT, MADE, RECORD, Cause, Origin, OutputDifference, Verdict, WorksheetState
from specs.engine import units
from specs.engine.fields import Field, fields_of
from specs.engine.units import System
from specs.phrase import joined, listed, phrase
from specs.plate.sides import name_on_plate


@dataclass(frozen=True)
class Change:
    """One line of "was, is": a result, an input or a check; `by` says how far or through whom.

    `only_doubt`: nothing moved, but a reading, or a check that rests on one, is in doubt as it was not then.
    """

    label: str
    before: str
    now: str
    by: str = ""
    only_doubt: bool = False

    def __str__(self) -> str:
        return f"{self.label}: {self.before} → {self.now}" + (f" ({self.by})" if self.by else "")


@dataclass(frozen=True)
class StatusText:
    """A worksheet's standing in words. `mark` is a word for the style sheet: same, new, changed or broken.

    `verdict` is what it says today, in one word of the contract; `since` how that stands to what was accepted.
    """

    headline: str
    verdict: str
    since: str
    mark: str
    fails: bool
    failing: tuple[str, ...]
    in_doubt: tuple[str, ...]
    unknown: tuple[str, ...]
    doubts: tuple[str, ...]
    results: tuple[Change, ...]
    causes: tuple[Change, ...]
    checks: tuple[Change, ...]
    method: str
    problems: tuple[str, ...]

    @property
    def sentences(self) -> tuple[str, ...]:
        """Everything there is to say, the headline first: for print and for a row of a list."""
        return self._said((*self.results, *self.causes, *self.checks))

    @property
    def told_once(self) -> tuple[str, ...]:
        """The same without what it says again: a doubt or a failing check that is also told as a change."""
        return self._said((*self.results, *(cause for cause in self.causes if not cause.only_doubt)))

    def _said(self, changes: Iterable[Change]) -> tuple[str, ...]:
        failing = tuple(gettext("Fails: {check}").format(check=check) for check in self.failing)
        doubts = tuple(gettext("In doubt: {doubt}").format(doubt=doubt) for doubt in self.doubts)
        said = (*self.problems, *failing, *self.unknown, *doubts, *self.in_doubt, *map(str, changes))
        return (f"{self.headline}.", *said, *filter(None, [self.method]))


MARKS = {
    WorksheetState.NEW: "new",
    WorksheetState.SAME: "same",
    WorksheetState.CHANGED: "changed",
    WorksheetState.BROKEN: "broken",
}


def status_text(state: EvaluatedWorksheet, system: System = "metric") -> StatusText:
    """Say how a worksheet stands, for a reader of this unit system."""
    status = state.status
    return StatusText(
        headline=_headline(state),
        verdict=_verdict(state),
        since=_since(state),
        mark=MARKS[status.state],
        fails=bool(status.failing),
        failing=tuple(f"{check.name}: {phrase(check.verdict)}" for check in status.failing),
        in_doubt=tuple(f"{check.name}: {phrase(check.verdict)}{_as_read(check)}" for check in status.in_doubt),
        unknown=tuple(
            gettext("{name}: not known, because {detail}").format(name=check.name, detail=check.detail)
            for check in status.unknown
        ),
        doubts=status.doubts,
        results=tuple(result_change(state, change, system) for change in status.differences),
        causes=tuple(_cause(cause, system) for cause in status.causes),
        checks=tuple(
            Change(
                gettext("Check “{name}”").format(name=t.name),
                phrase(t.before) or gettext("not there"),
                phrase(t.now) or gettext("gone"),
                only_doubt=t.now == IN_DOUBT,
            )
            for t in status.turned
        ),
        method=_method(state),
        problems=tuple(f"{label}: {why}" if label else why for label, why in state.problems),
    )


def present_state(state: EvaluatedWorksheet, system: System) -> Presented | None:
    """Today's answer with its working; nothing in it plainly holds while a reading is in doubt."""
    if state.calculation is None or state.banded is None:
        return None
    doubted = bool(state.status.doubts)
    return present(state.calculation, state.given, state.found, system, state.banded, doubted=doubted)


def _verdict(state: EvaluatedWorksheet) -> str:
    status = state.status
    verdicts = {check.verdict for check in status.in_doubt}
    if status.problems or state.banded is None:
        return phrase("cannot be worked out")
    if status.failing:
        return phrase("fails")
    if status.unknown:
        return phrase("not known")
    if verdicts - {IN_DOUBT}:
        return phrase("too close to call")
    if verdicts or status.doubts:
        return phrase("in doubt")
    return phrase("holds") if state.banded.answer.checks else phrase("not judged here")


def _since(state: EvaluatedWorksheet) -> str:
    if state.accepted is None:
        return gettext("Not accepted yet")
    on = written.day(localtime(state.accepted.at))
    if state.status.state is WorksheetState.CHANGED:
        return gettext("Changed since accepted {on}").format(on=on)
    same = state.status.state is WorksheetState.SAME
    return (gettext("Same as accepted {on}") if same else gettext("Accepted {on}")).format(on=on)


def _headline(state: EvaluatedWorksheet) -> str:
    status = state.status
    if status.problems and state.accepted is None:
        return gettext("Cannot be worked out, and not accepted yet")
    if state.accepted is None:
        return gettext("Not accepted yet") + _but(state)
    by = gettext("accepted by {person_name} on {day}").format(
        person_name=person_name(state.accepted.person), day=written.day(localtime(state.accepted.at))
    )
    said = {
        WorksheetState.SAME: gettext("Same as {by}").format(by=by),
        WorksheetState.CHANGED: gettext("Changed since {by}").format(by=by),
        WorksheetState.BROKEN: gettext("Cannot be worked out any more; {by}").format(by=by),
    }[status.state]
    return said + _but(state)


def _but(state: EvaluatedWorksheet) -> str:
    if state.status.failing:
        return gettext(", and it fails")
    if state.status.unknown:
        return gettext(", and something is not known")
    if any(check.verdict != IN_DOUBT for check in state.status.in_doubt):
        return gettext(", and it is too close to call")
    return gettext(", and readings are in doubt") if state.status.doubts else ""


def _as_read(check: Verdict) -> str:
    return "" if check.passes else gettext(", and short of it as read")


def _method(state: EvaluatedWorksheet) -> str:
    if state.status.revised is None:
        return ""
    before, now = state.status.revised
    moved = state.status.state is WorksheetState.CHANGED and not state.status.causes
    answer = (
        gettext("today's method answers differently")
        if moved
        else gettext("accept it again to have today's method on record")
    )
    return gettext("The method was revised since it was accepted (revision {before} → {now}); {answer}.").format(
        before=before, now=now, answer=answer
    )


def result_change(state: EvaluatedWorksheet, change: OutputDifference, system: System) -> Change:
    field = fields_of(state.calculation.outputs).get(change.name) if state.calculation else None
    label = field.label if field else change.name
    spread = state.banded.outputs.get(change.name) if state.banded else None
    before, now = (
        plain_words(field, value, system, spread.half if spread else 0) for value in (change.before, change.now)
    )
    if before == now:  # a change too small for the figures that the band supports is still told
        before, now = (plain_words(field, value, system, 0, figures=9) for value in (change.before, change.now))
    return Change(label, before, now, _by_how_much(change))


def _by_how_much(change: OutputDifference) -> str:
    before, now = (_number(value) for value in (change.before, change.now))
    if before is None or now is None or before == 0 or before * now < 0:
        return ""
    moved = now / before - 1
    size = f"{abs(moved):.0%}" if abs(moved) >= 0.1 else num(abs(moved), ".2g" if abs(moved) < 1e-4 else ".1%")
    said = gettext("{size} more") if moved > 0 else gettext("{size} less")
    return said.format(size=size.replace("%", " %"))


def _number(value: Any) -> float | None:
    number = value.get("value") if isinstance(value, Mapping) else None
    return number if isinstance(number, (int, float)) else None


def plain_words(
    field: Field | None, value: Any, system: System = "metric", band: float = 0.0, figures: int | None = None
) -> str:
    """An output as it is kept (the contract's object) in words."""
    if value is None:
        return gettext("not there")
    if field is None or not isinstance(value, Mapping):
        return str(value)
    if "text" in value:
        return str(value["text"])
    if "rows" in value:
        return gettext("a table of {value} rows").format(value=len(value["rows"]))
    kind = field.kind
    if "value" in value:
        return (
            units.show(kind.to_si(value["value"]), kind, system, band or None, figures) if kind else str(value["value"])
        )
    if kind and "list" in value:
        return ", ".join(units.show(kind.to_si(entry), kind, system, band or None, figures) for entry in value["list"])
    entries = ([e] if isinstance(e, str) else e for e in value.get("list", []))
    return ", ".join(listed(name_on_plate(str(one)) for one in entry) for entry in entries) or gettext("none")


def _cause(cause: Cause, system: System) -> Change:
    now, before = cause.now, cause.before
    origin = now or before
    assert origin is not None
    if now is None or before is None:
        gone = gettext("not given any more") if now is None else gettext("given now")
        return Change(origin.label, origin_words(before, system), origin_words(now, system), gone)
    if cause.datum_rewritten:
        label, unsaid = gettext("{label}, datum").format(label=now.label), gettext("not said")
        return Change(label, before.datum or unsaid, now.datum or unsaid, now.words)
    if cause.newly_doubted and before.words == now.words and before.value == now.value:
        doubted = joined("; ", before.doubts) or gettext("no doubt")
        return Change(now.label, doubted, joined("; ", now.doubts), credit(now), only_doubt=True)
    if cause.measured_again and now.kind == "dimension":
        label = gettext("{label}, measured again").format(label=now.label)
        return Change(label, sized(before, system), sized(now, system), credit(now))
    return Change(now.label, origin_words(before, system), origin_words(now, system), credit(now))


def credit(origin: Origin) -> str:
    day = written.day(date.fromisoformat(origin.on)) if origin.on else ""
    return ", ".join(filter(None, [origin.instrument, origin.person, day]))


def sized(origin: Origin, system: System) -> str:
    if origin.value is None or not origin.quantity:
        return origin.words
    kind = units.KINDS[origin.quantity]
    shown = units.show(origin.value, kind, system, band=origin.tolerance or None, figures=7)
    around = f" ± {units.show(origin.tolerance, kind, system, band=origin.tolerance)}" if origin.tolerance else ""
    return shown + around


def origin_words(origin: Origin | None, system: System = "metric") -> str:
    """Where an input comes from and what it is: "88.9 mm ± 0.05 mm from Teskel QZ-5: depth"; "typed 3.5 in"."""
    if origin is None:
        return gettext("nothing")
    if origin.kind == "typed":
        return gettext("typed {words}").format(words=origin.words)
    if origin.kind in (RECORD, MADE):
        return origin.words
    return (
        gettext("{sized} from {words}").format(sized=sized(origin, system), words=origin.words)
        if origin.kind == "dimension"
        else gettext("taken from {words}").format(words=origin.words)
    )
