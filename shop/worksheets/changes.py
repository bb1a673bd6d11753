"""Writing worksheets: one verb each, with permission, one transaction and history inside."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base.records import delete_record, remove_record, save_as
from shop.base.roles import Person, require
from shop.base.written import written_as_usual
from shop.worksheets.bindings import Given
from shop.worksheets.evaluation import (
    EvaluatedWorksheet,
    record_fields,
    stored_bands,
    worksheet_state,
)
from shop.worksheets.models import AcceptedRecord, Worksheet, WorksheetInput
from shop.worksheets.rules import IN_DOUBT
from specs.engine import parsing
from specs.phrase import as_kept, joined
from specs.plate.bolted_holes import BOLT_NOT_NAMED

# Checks that a worksheet is not accepted with, whatever the reason.
NEVER_ACCEPTED = frozenset({BOLT_NOT_NAMED})


class ResultMoved(Exception):
    """The result to accept is not the one that was shown; `state` is today's. Nothing was written."""

    def __init__(self, state: EvaluatedWorksheet) -> None:
        super().__init__(gettext("The result changed while the page was open."))
        self.state = state


@transaction.atomic
def save_worksheet(worksheet: Worksheet, *, inputs: Iterable[Given], person: Person, now: datetime) -> Worksheet:
    """Keep a new worksheet, or a changed one with all its inputs. Raises Stale where somebody saved it meanwhile.

    An input that stays as it was keeps who gave it, and when; where nothing changes, nothing is written.
    """
    require(person, "worksheets.edit")
    inputs = list(inputs)
    if worksheet.pk and _is_as_kept(worksheet, inputs):
        return worksheet
    save_as(worksheet, person=person)
    before = {held.path: held for held in worksheet.inputs.all()}
    for given in inputs:
        held = before.pop(given.path, None)
        if held is None or _place(held) != _place(given):
            save_as(
                _filled(held or WorksheetInput(worksheet=worksheet, path=given.path), given, person, now), person=person
            )
    for held in before.values():
        remove_record(held, person=person)
    return worksheet


def _is_as_kept(worksheet: Worksheet, inputs: list[Given]) -> bool:
    kept = Worksheet.objects.filter(pk=worksheet.pk, version=worksheet.version).first()
    names = ("title", "component_id", "notes", "calculation", "job_id")
    if kept is None or any(getattr(kept, name, None) != getattr(worksheet, name, None) for name in names):
        return False
    before = {held.path: _place(held) for held in worksheet.inputs.all()}
    return before == {given.path: _place(given) for given in inputs}


def _place(held: WorksheetInput | Given) -> tuple[Any, ...]:
    typed = parsing.with_unit(held.typed, held.unit)
    return typed, held.dimension and held.dimension.pk, held.pattern and held.pattern.pk


def _filled(held: WorksheetInput, given: Given, person: Person, now: datetime) -> WorksheetInput:
    held.typed, held.unit = given.typed, given.unit
    held.dimension, held.pattern = given.dimension, given.pattern
    held.person_id, held.set_at = person.pk, now  # type: ignore[assignment]
    return held


LONGEST_NOTE = 300
"""Letters of a note that a person adds; what was open is written before it and kept whole."""


@transaction.atomic
def accept_worksheet(
    worksheet: Worksheet, *, token: str, person: Person, now: datetime, note: str = ""
) -> AcceptedRecord:
    """Keep today's result as accepted by a person, beside every earlier record.

    token: of the result that the person saw. Raises ResultMoved where today's is another, and where there is none.
    """
    require(person, "worksheets.accept")
    state = worksheet_state(worksheet)
    if not state.token or state.token != token:
        raise ResultMoved(state)
    _demand_acceptable(state, note)
    assert state.result is not None
    assert state.banded is not None
    with written_as_usual():
        kept_open = named_open(state)
    return AcceptedRecord.objects.create(  # type: ignore[misc]
        worksheet=worksheet,
        calculation=worksheet.calculation,
        cautions=as_kept(state.banded.answer.cautions),
        bands=stored_bands(state.banded),
        note=". ".join(filter(None, [*kept_open, note.strip()])),
        person_id=person.pk,
        at=now,
        **record_fields(state.result),
    )


def named_open(state: EvaluatedWorksheet) -> list[str]:
    """What is accepted although it fails, is not known, too close to call or rests on a doubtful reading, by name."""
    status = state.status
    close = [check for check in status.in_doubt if check.verdict != IN_DOUBT]
    groups = (
        (gettext("Fails: {checks}"), status.failing),
        (gettext("Not known: {checks}"), status.unknown),
        (gettext("Too close to call: {checks}"), close),
    )
    named = [said.format(checks=joined(", ", (check.name for check in checks))) for said, checks in groups if checks]
    return [*named, *(gettext("In doubt: {doubt}").format(doubt=doubt) for doubt in status.doubts)]


def _demand_acceptable(state: EvaluatedWorksheet, note: str) -> None:
    """Refuse what no remark makes right: holes of which nobody knows whether a bolt fits them.

    What fails, is too close to call or rests on a doubtful reading is accepted with a reason.
    """
    for verdict in state.status.failing:
        if verdict.name in NEVER_ACCEPTED:
            raise ValidationError(
                gettext("Not accepted: {name}, {detail}").format(name=verdict.name, detail=verdict.detail)
            )
    if len(note.strip()) > LONGEST_NOTE:
        raise ValidationError(
            gettext("Not accepted: the note is longer than {LONGEST_NOTE} letters. Shorten it.").format(
                LONGEST_NOTE=LONGEST_NOTE
            )
        )
    if state.status.asks_why and not note.strip():
        raise ValidationError(
            gettext("Not accepted: {named_open}. Say in the note why it is accepted.").format(
                named_open=". ".join(named_open(state))
            )
        )


@transaction.atomic
def delete_worksheet(worksheet: Worksheet, *, person: Person, reason: str, now: datetime) -> Worksheet:
    """Take a worksheet out of use, with a reason; its accepted records stay."""
    require(person, "worksheets.edit")
    return delete_record(worksheet, person=person, reason=reason, now=now)
