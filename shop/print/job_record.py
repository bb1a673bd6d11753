"""What stands behind a job on its card: finished steps a line each, torques, worksheets, parts, decisions, cautions."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import groupby
from typing import Any

from django.utils.translation import gettext
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable

from shop.print.card_facts import DimensionFacts, JobFacts, WorksheetFacts
from shop.print.layout import heading, table
from shop.print.safety import ALSO, NOT_CHECKED
from shop.print.text import noted, sentence, words
from shop.print.torque_rows import listed_rows


def _section(text: str) -> Flowable:
    return heading(text, "section")


def _torques(facts: JobFacts) -> Iterator[Flowable]:
    due = facts.torques_due
    others = [torque for torque in facts.torques if torque not in due]
    if others:
        yield _section(gettext("Other torques {others}").format(others=len(others)))
        yield listed_rows(others)


def _worksheets(facts: JobFacts) -> Iterator[Flowable]:
    if not facts.worksheets:
        return
    stale = [sheet for sheet in facts.worksheets if not sheet.relied_on]
    held = [sheet for sheet in facts.worksheets if sheet.relied_on]
    yield _section(gettext("Worksheets {worksheets}").format(worksheets=len(facts.worksheets)))
    rows: list[list[Any]] = [[_named(sheet), _stale(sheet)] for sheet in stale]
    rows += [[_named(sheet), _held(sheet)] for sheet in held]
    yield table(
        [gettext("Worksheet"), gettext("Verdict, and what changed since it was accepted")],
        rows,
        (0.2, 0.8),
        name="dense",
    )


def _stale(sheet: WorksheetFacts) -> Flowable:
    return words(" ".join(map(sentence, sheet.status)), "dense")


def _named(sheet: WorksheetFacts) -> Flowable:
    return words(f"{sheet.number} {sheet.title}".strip(), "dense-strong")


def _held(sheet: WorksheetFacts) -> list[Flowable]:
    """Its checks in one line; results only where there is no check to say what it found, beside what is in doubt."""
    found = () if sheet.judged else (f"{label} {value}" for label, value in sheet.results[:4])
    same = gettext("Same as {accepted}.").format(accepted=sheet.accepted)
    return [words(f"{sentence('; '.join((*found, *sheet.checks)))} {same}".strip(), "dense")]


def _parts(facts: JobFacts) -> Iterator[Flowable]:
    if not facts.parts:
        return
    away = [part for part in facts.parts if not part.here]
    yield _section(gettext("Parts still to come {away}").format(away=len(away)))
    if away:
        late = gettext("LATE: ")
        rows = [[str(part.step), f"{late}{part.state}"] for part in away if part.late]
        rows += [[str(part.step), part.state] for part in away if not part.late]
        halves = _two_columns(rows)
        yield table([gettext("Step"), gettext("Part, and when it comes")] * 2, halves, (0.06, 0.44) * 2, name="dense")
    here = [
        gettext("{state} (step {step})").format(state=part.state, step=part.step) for part in facts.parts if part.here
    ]
    if here:
        yield words("; ".join(here) + ".", "dense", gettext("Here: "))


def _two_columns(rows: list[list[str]]) -> list[list[str]]:
    """Rows in two columns, read down the first before the second."""
    half = -(-len(rows) // 2)
    right = [*rows[half:], ["", ""]]
    return [[*left, *other] for left, other in zip(rows[:half], right, strict=False)]


def _regulated(facts: JobFacts) -> Iterator[Flowable]:
    if facts.regulated:
        yield _section(gettext("Licensed approval before the road"))
        outcomes = dict.fromkeys(passed for _, passed in facts.regulated)
        for outcome in sorted(outcomes, key=lambda passed: not passed.stops):
            items = "; ".join(what.said for what, passed in facts.regulated if passed == outcome)
            yield words(f"{items}.", "dense", f"{sentence(outcome.said).rstrip('.')}: ")
    if facts.decisions:
        yield _section(gettext("Decisions"))
        for question, decided in facts.decisions:
            yield words(decided, "dense", f"{question} ")


def _guards(facts: JobFacts) -> Iterator[Flowable]:
    touched = [step for step in facts.steps if step.changes and not step.is_open]
    if touched:
        yield _section(gettext("Guards changed"))
        for step in touched:
            yield words(" ".join(step.changes), "dense", f"{step.number} {step.title}: ")


def _dimensions(facts: JobFacts) -> Iterator[Flowable]:
    if not facts.dimensions:
        return
    flagged = [one for one in facts.dimensions if one.flags]
    if flagged:
        yield _section(gettext("Readings to check {flagged}").format(flagged=len(flagged)))
        yield table(
            [gettext("Dimension"), gettext("Working value"), gettext("Check")],
            map(_flagged, flagged),
            (0.32, 0.2, 0.48),
            name="dense",
        )
    plain = [one for one in facts.dimensions if not one.flags]
    if plain:
        yield _section(gettext("Dimensions"))
        for component, those in groupby(plain, key=lambda one: one.component):
            yield words("; ".join(map(_in_a_line, those)) + ".", "dense", f"{component}: ")


def _flagged(one: DimensionFacts) -> list[list[Flowable]]:
    name = [words(f"{one.component}: {one.name}", "dense-strong")]
    name += [words(one.datum, "dense")] if one.datum else []
    value = [words(f"{one.value} {one.tolerance}", "dense-strong"), words(one.source, "dense")]
    return [name, value, [words(flag, "dense", gettext("Check: ")) for flag in one.flags]]


def _in_a_line(one: DimensionFacts) -> str:
    datum = f" ({one.datum})" if one.datum else ""
    return f"{one.name}{datum} {one.value} {one.tolerance}".strip()


def _finished(facts: JobFacts) -> Iterator[Flowable]:
    done = [step for step in facts.steps if step.done]
    if not done:
        return
    yield _section(gettext("Done {done}").format(done=len(done)))
    for step in done:
        yield words(f" {step.done}", "dense", f"{step.number} {step.title}, ")


def _lessons(facts: JobFacts) -> Iterator[Flowable]:
    if not facts.lessons:
        return
    yield _section(gettext("From earlier jobs"))
    for title, text in facts.lessons:
        yield noted(text, "dense", f"{title}: ")


def _safety(facts: JobFacts) -> Iterator[Flowable]:
    yield CondPageBreak(24 * mm)
    yield _section(gettext("The usual cautions, beside those on sheet 1"))
    yield words(" – ".join(map(str, ALSO)), "dense")
    yield words(NOT_CHECKED, "dense-strong", gettext("What was not checked: "))


record_parts: tuple[Callable[[JobFacts], Iterator[Flowable]], ...] = (
    _finished,
    _torques,
    _worksheets,
    _parts,
    _regulated,
    _guards,
    _dimensions,
    _lessons,
    _safety,
)
