"""The job card as a story: wording and layout over the facts alone."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from reportlab.lib.colors import black
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Table, TableStyle

from shop.print.facts import (
    DimensionFacts,
    JobFacts,
    StepFacts,
    TorqueFacts,
    WorksheetFacts,
)
from shop.print.layout import (
    Picture,
    boxes,
    bullets,
    framed,
    gap,
    heading,
    pairs,
    table,
    under,
)
from shop.print.safety import ALWAYS, KILLS, NOT_CHECKED
from shop.print.styles import HAIR, RULE, WIDTH
from shop.print.text import noted, words
from shop.print.torque_drawing import torque_drawing

_NUMBER, _RIGHT = 11 * mm, 46 * mm


def job_story(facts: JobFacts) -> list[Flowable]:
    """Everything on the card, in the order in which it is needed."""
    return [piece for part in _PARTS for piece in part(facts)]


def _head(facts: JobFacts) -> Iterator[Flowable]:
    yield words(facts.heading.title, "title")
    yield pairs([*facts.vehicle, *facts.job])
    yield gap()
    # Before anything that a customer may have written at length: these stand on the first sheet.
    yield framed([words("What kills", "strong"), *(words(text, "cell") for text in KILLS)])
    if facts.check_again:
        yield gap()
        again = [words(why, "cell", f"{step}: ") for step, why in facts.check_again]
        yield framed([words("Check again before anything else", "strong"), *again])
    if facts.asked_for:
        yield gap()
        yield noted(facts.asked_for, "body", "Asked for: ")
    yield gap()
    yield framed([words(text, "cell") for text in _before(facts)])


def _before(facts: JobFacts) -> Iterator[str]:
    yield "Read all cautions at the end of this card before you start."
    stale = [sheet.title for sheet in facts.worksheets if not sheet.relied_on]
    if stale:
        yield f"Do not rely on these worksheets as they stand: {', '.join(stale)}. See “Worksheets” below."
    for what, why in facts.weakened:
        yield f"Guard taken away: {what}. Because: {why}."
    open_items = [what for what, passed in facts.regulated if passed.startswith("NOT")]
    if open_items:
        yield f"Not for the road until a licensed person has passed: {'; '.join(open_items)}."


def _steps(facts: JobFacts) -> Iterator[Flowable]:
    yield heading("Steps")
    if not facts.steps:
        yield words("No step is written yet.")
    for step in facts.steps:
        yield _step(step)


def _step(step: StepFacts) -> Flowable:
    left: list[Flowable] = [words(step.title, "strong")]
    if step.text and not step.done:
        left.append(noted(step.text, "cell"))
    if step.cautions:
        left.append(noted(step.cautions, "cell", "Caution: "))
    if step.touches:
        left.append(words(", ".join(step.touches), "cell", "Regulated, needs licensed approval: "))
    if step.torques:
        left.append(words(", ".join(f"T{number}" for number in step.torques), "cell", "Tighten: "))
    if not step.done:
        left.append(words(f"{step.stands[:1].upper()}{step.stands[1:]}.", "small"))
    right: list[Flowable] = [words(f"{step.role}, {step.hours}", "small")]
    right += [words(step.done, "strong")] if step.done else [boxes(["Done, name", "Date"], _RIGHT - 6, shares=(2, 1))]
    rules: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("LINEBELOW", (0, 0), (-1, -1), HAIR, black),
        ("LEFTPADDING", (0, 0), (-1, -1), 3),
        ("RIGHTPADDING", (0, 0), (-1, -1), 3),
        ("TOPPADDING", (0, 0), (-1, -1), 3),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
    ]
    row = [[words(str(step.number), "figure"), left, right]]
    widths = [_NUMBER, WIDTH - _NUMBER - _RIGHT, _RIGHT]
    # Kept on one page where it fits on one, so that a box to sign stands beside its step.
    return KeepTogether([Table(row, widths, style=TableStyle(rules), hAlign="LEFT", splitInRow=1)])


def _torques(facts: JobFacts) -> Iterator[Flowable]:
    if not facts.torques:
        return
    advice = words(
        "The maker's figure comes first. A torque wrench scatters by 25 to 30 % in preload; condition of the thread "
        "(dry, oiled, locking compound) as stated, or the figure does not hold.",
        "small",
    )
    blocks = [[gap(), *_torque(torque)] for torque in facts.torques]
    yield from under([heading("Torques"), advice], blocks)


def _torque(torque: TorqueFacts) -> Iterator[Flowable]:
    left: list[Flowable] = [
        words(f"T{torque.number}  {torque.place}", "strong"),
        words(torque.component, "cell"),
        words(f"{torque.fastener}, {torque.condition}", "cell"),
        *([words(torque.flag, "caution")] if torque.flag else []),
        words(torque.torque or "No approved torque: do not tighten", "figure"),
        words(torque.basis, "small"),
    ]
    if torque.single_use:
        left.append(words("SINGLE USE: fit new fasteners every time.", "caution"))
    if torque.step:
        left.append(words(f"In step {torque.step}.", "small"))
    rules: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("BOX", (0, 0), (-1, -1), RULE, black),
        ("LEFTPADDING", (0, 0), (-1, -1), 4),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4),
    ]
    plan = torque.plan if torque.plan and torque.plan.holes and torque.torque and not torque.is_done else None
    picture = 48 * mm if plan else 0
    cells: list[list[Flowable]] = [left, _signing(torque, WIDTH - 76 * mm - picture - 8)]
    widths = [76 * mm, WIDTH - 76 * mm - picture]
    if plan:
        seen = words(f"Seen {plan.seen}", "small")
        cells.insert(1, [Picture(torque_drawing(plan), 44 * mm, 44 * mm), seen])
        widths.insert(1, picture)
    yield Table([cells], widths, style=TableStyle(rules), hAlign="LEFT")


def _signing(torque: TorqueFacts, room: float) -> list[Flowable]:
    if torque.signed:
        return [words(torque.signed, "cell", "Signed: ")]
    pieces: list[Flowable] = [words(torque.sign_again, "cell", "SIGN AGAIN: ")] if torque.sign_again else []
    if not torque.torque:
        return pieces
    if torque.plan and torque.plan.holes:
        pieces.append(words(" – ".join(torque.plan.sequence), "cell", "Sequence: "))
    elif torque.order_words:
        note = torque.plan.note if torque.plan else ""
        pieces.append(words(f"{torque.order_words}. {note}", "cell", "Sequence: "))
    pieces.append(words(", ".join(figure for _, figure in torque.rounds), "cell", "Rounds: "))
    pieces.append(boxes(["Wrench, adapter", "Set to"], room, 8 * mm))
    pieces.append(boxes(["Tightened by, date", "Checked by, date"], room, 12 * mm))
    return pieces


def _dimensions(facts: JobFacts) -> Iterator[Flowable]:
    if not facts.dimensions:
        return
    yield heading("Dimensions")
    yield table(
        ["Component", "Dimension", "Working value", "Source"],
        [_dimension(one) for one in facts.dimensions],
        (0.22, 0.34, 0.18, 0.26),
    )


def _dimension(one: DimensionFacts) -> list[object]:
    name: list[Flowable] = [words(one.name, "strong")]
    if one.datum:
        name.append(words(one.datum, "small"))
    name += [words(flag, "small", "Check: ") for flag in one.flags]
    value = [words(one.value, "strong"), words(one.tolerance, "small")]
    return [one.component, name, value, words(one.source, "small")]


def _parts(facts: JobFacts) -> Iterator[Flowable]:
    if not facts.parts:
        return
    yield heading("Parts")
    rows = [[str(part.step), ("LATE: " if part.late else "") + part.state] for part in facts.parts]
    yield table(["Step", "Part, and when it comes"], rows, (0.08, 0.92))


def _worksheets(facts: JobFacts) -> Iterator[Flowable]:
    if not facts.worksheets:
        return
    yield from under([heading("Worksheets")], [list(_worksheet(sheet)) for sheet in facts.worksheets])


def _worksheet(sheet: WorksheetFacts) -> Iterator[Flowable]:
    yield words(f"{sheet.title} ({sheet.method})", "subheading")
    if sheet.results:
        yield words("; ".join(f"{label} {value}" for label, value in sheet.results) + ".", "cell", "As accepted: ")
    if sheet.checks:
        yield words("; ".join(sheet.checks) + ".", "cell", "Checks as accepted: ")
    if sheet.relied_on:
        yield words(f"Stands today: {sheet.accepted}.", "cell")
    else:
        yield framed([words(sentence, "cell") for sentence in sheet.status])
    yield gap()


def _regulated(facts: JobFacts) -> Iterator[Flowable]:
    if facts.regulated:
        yield heading("Licensed approval before the road")
        yield table(["What", "Approved"], facts.regulated, (0.5, 0.5))
    if facts.decisions:
        yield heading("Decisions")
        yield table(["Question", "Decided"], facts.decisions, (0.5, 0.5))


def _lessons(facts: JobFacts) -> Iterator[Flowable]:
    if not facts.lessons:
        return
    yield heading("From earlier jobs")
    for title, text in facts.lessons:
        yield noted(text, "cell", f"{title}: ")
        yield gap(1 * mm)


def _safety(facts: JobFacts) -> Iterator[Flowable]:
    yield CondPageBreak(60 * mm)
    yield heading("Cautions")
    yield from bullets(ALWAYS)
    yield gap()
    yield framed([words(NOT_CHECKED, "cell", "What was not checked: ")])


_PARTS = (_head, _steps, _torques, _dimensions, _parts, _worksheets, _regulated, _lessons, _safety)
