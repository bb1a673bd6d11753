"""The job card as a story: on its first sheet what kills, what is open now and the torques due next."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf
from typing import Any

from django.utils.translation import gettext
from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, TableStyle

from shop.print.card_facts import JobFacts, StepFacts
from shop.print.job_record import record_parts
from shop.print.layout import SIGN_HEIGHT, SIGN_WIDTH, Box, Rows, framed, gap, heading, pairs, row_rules, table, under
from shop.print.safety import KILLS
from shop.print.sheet_frame import height_of, render, room_on
from shop.print.styles import WIDTH
from shop.print.text import noted, sentence, words
from shop.print.torque_rows import ADVICE, brief_rows, due_rows

_NUMBER, _RIGHT = 9 * mm, SIGN_WIDTH + 2 * mm
# A step whose work is longer than this many letters has it below the torques: they stay on the first sheet.
_LONG = 320
_MOST_AT_THE_STEP = 400
_NAMED = 2


def job_card(facts: JobFacts, paper: str) -> bytes:
    """Draw the card; what is due stands on its first sheet, at need more briefly than it is signed for below."""
    return render(facts.heading, job_story(facts, room_on(paper)), paper)


def job_story(facts: JobFacts, room: float) -> list[Flowable]:
    """Everything on the card, in the order in which it is needed; `room`: the height [points] of its first sheet."""
    steps = [step for step in facts.steps if step.is_open]
    head, due = list(_head(facts)), list(_due(facts))
    beside = _letters_beside(steps)
    opened = list(_open(facts, beside))
    if height_of([*head, *opened, *due]) > room:
        beside = 0
        opened = list(_open(facts, beside))
        if height_of([*head, *opened, *due]) > room:
            head += _due_briefly(facts) if due else []
    rest = [piece for part in (_asked_for, _waiting, *record_parts) for piece in part(facts)]
    return [*head, *opened, *_kept_whole(due), *_work(steps, beside), *rest]


def _head(facts: JobFacts) -> Iterator[Flowable]:
    yield words(facts.heading.title, "title")
    yield pairs([*facts.vehicle, *facts.job], small=True)
    yield gap(1.5 * mm)
    # Before anything that a customer may have written at length: these stand on the first sheet.
    yield framed([words(gettext("What kills"), "strong"), *(words(text, "dense") for text in KILLS)])
    told = [
        *(words(why, "dense", gettext("Check again {step}: ").format(step=step)) for step, why in facts.check_again),
        *_before(facts),
    ]
    if told:
        yield gap(1.5 * mm)
        yield framed(told)


def _before(facts: JobFacts) -> Iterator[Flowable]:
    stale = [sheet.number or sheet.title for sheet in facts.worksheets if not sheet.relied_on]
    if stale:
        said = gettext("{stale}. What changed is told under “Worksheets”.").format(stale=", ".join(stale))
        yield words(said, "dense", gettext("Do not rely on these worksheets as they stand: "))
    for what, why in facts.weakened:
        yield words(
            gettext("{what}. Because: {why}.").format(what=what, why=why), "dense", gettext("Guard taken away: ")
        )
    touched = [str(step.number) for step in facts.steps if step.changes and not step.is_open]
    if touched:
        yield words(
            gettext("{touched}. See “Guards changed”.").format(touched=", ".join(touched)),
            "dense",
            gettext("Guards changed by hand in steps: "),
        )
    missing = [what.subject for what, passed in facts.regulated if passed.stops]
    if missing:
        subjects = ", ".join(dict.fromkeys(missing))
        yield words(f"{subjects}.", "dense", gettext("Not for the road until a licensed person has passed: "))


def _open(facts: JobFacts, beside: float) -> Iterator[Flowable]:
    """The open steps with their boxes to sign; work of no more than `beside` letters stands at its step."""
    steps = [step for step in facts.steps if step.is_open]
    yield heading(gettext("Open now {steps}").format(steps=len(steps)))
    if not steps:
        yield words(gettext("No step can be worked on now.") if facts.steps else gettext("No step is written yet."))
        return
    rows = [[words(str(step.number), "figure"), _step(step, beside), _sign(step)] for step in steps]
    yield _rows(rows, [_NUMBER, WIDTH - _NUMBER - _RIGHT, _RIGHT])


def _letters_beside(steps: list[StepFacts]) -> float:
    """How many letters of work may stand at a step: any where all steps have few."""
    return inf if sum(len(step.text) for step in steps) <= _MOST_AT_THE_STEP else _LONG


def _step(step: StepFacts, beside: float) -> list[Flowable]:
    who = " · ".join(filter(None, [step.role, step.hours]))
    pieces: list[Flowable] = [words(step.title, "strong"), words(f"{who} · {step.stands.said}", "small")]
    if step.cautions:
        pieces.append(noted(step.cautions, "cell", gettext("Caution: ")))
    pieces += [words(change, "small", gettext("Changed: ")) for change in step.changes]
    if step.touches:
        pieces.append(words(", ".join(step.touches), "small", gettext("Regulated, needs licensed approval: ")))
    if step.checks:
        pieces.append(words("; ".join(step.checks), "small", gettext("Checks to sign: ")))
    if step.torques:
        pieces.append(words(", ".join(f"T{number}" for number in step.torques), "small", gettext("Tighten: ")))
    if step.text and len(step.text) <= beside:
        pieces.append(noted(step.text, "cell"))
    return pieces


def _sign(step: StepFacts) -> Flowable:
    return Box(gettext("Done: name, date"), SIGN_WIDTH, SIGN_HEIGHT)


def _rows(rows: list[list[Any]], widths: list[float]) -> Flowable:
    return Rows(rows, widths, style=TableStyle(row_rules(black)))


def _due(facts: JobFacts) -> Iterator[Flowable]:
    due = facts.torques_due
    if due:
        yield heading(gettext("Torques due next {due}").format(due=len(due)))
        yield from due_rows(due)
        yield words(ADVICE, "small")


def _kept_whole(due: list[Flowable]) -> list[Flowable]:
    """The heading on the page of the first torque, the advice on that of the last."""
    return [*under(due[:1], [[row] for row in due[1:-1]]), due[-1]] if due else []


def _due_briefly(facts: JobFacts) -> Iterator[Flowable]:
    """The torques due next with their figures alone, where their boxes to sign would not stand on the first sheet."""
    due = facts.torques_due
    yield heading(gettext("Torques due next {due}").format(due=len(due)), "section")
    yield brief_rows(due)


def _work(steps: list[StepFacts], beside: float) -> Iterator[Flowable]:
    """How the open steps are done, where that is too long to stand at the step."""
    long = [step for step in steps if len(step.text) > beside]
    if not long:
        return
    yield heading(gettext("How the open steps are done"))
    for step in long:
        yield noted(step.text, "cell", f"{step.number} {step.title}: ")
        yield gap(1 * mm)


def _asked_for(facts: JobFacts) -> Iterator[Flowable]:
    if facts.asked_for:
        yield gap()
        yield noted(facts.asked_for, "cell", gettext("Asked for: "))


def _waiting(facts: JobFacts) -> Iterator[Flowable]:
    steps = [step for step in facts.steps if not step.is_open and not step.done]
    if not steps:
        return
    yield heading(gettext("Waiting {steps}").format(steps=len(steps)), "section")
    yield words(gettext("How a step is done is printed on its step card, and here once it is open."), "small")
    rows = [[words(str(step.number), "dense-strong"), _waiting_step(step)] for step in steps]
    yield table([], rows, [_NUMBER, WIDTH - _NUMBER], name="dense")


def _waiting_step(step: StepFacts) -> list[Flowable]:
    tight = (
        gettext("; tighten {value}").format(value=", ".join(f"T{number}" for number in step.torques))
        if step.torques
        else ""
    )
    checks = gettext("; {checks} to sign").format(checks=len(step.checks)) if step.checks else ""
    quiet = f"{step.role}, {step.hours}{tight}{checks}"
    regulated = gettext(" Regulated: {touches}.").format(touches=", ".join(step.touches)) if step.touches else ""
    waits = sentence(step.stands.briefly(_NAMED))
    pieces: list[Flowable] = [words(f" {quiet}. {waits}{regulated}", "dense", f"{step.title}. ")]
    if step.cautions:
        pieces.append(noted(step.cautions, "dense", gettext("Caution: ")))
    return pieces
