"""Writing worksheets: one verb each, with permission, one transaction and history inside."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction

from shop.base.records import delete_record, remove_record, save_as
from shop.base.roles import Person, require
from shop.worksheets.evaluation import (
    EvaluatedWorksheet,
    record_fields,
    stored_bands,
    worksheet_state,
)
from shop.worksheets.models import AcceptedRecord, Worksheet, WorksheetInput
from specs.calculations.plate_layout import BOLT_NOT_NAMED
from specs.models import Dimension, HolePattern

# Checks that a worksheet is not accepted with, whatever the reason.
NEVER_ACCEPTED = frozenset({BOLT_NOT_NAMED})


class ResultMoved(Exception):
    """The result to accept is not the one that was shown; `state` is today's. Nothing was written."""

    def __init__(self, state: EvaluatedWorksheet) -> None:
        super().__init__("The result changed while the page was open.")
        self.state = state


@dataclass(frozen=True)
class Given:
    """One input to keep: a text as typed (with the unit meant where it has none), a dimension or a pattern."""

    path: str
    typed: str = ""
    unit: str = ""
    dimension: Dimension | None = None
    pattern: HolePattern | None = None
    credit: tuple[str, str] = ("", "")


@transaction.atomic
def save_worksheet(worksheet: Worksheet, *, inputs: Iterable[Given], person: Person, now: datetime) -> Worksheet:
    """Keep a new worksheet, or a changed one with all its inputs. Raises Stale where somebody saved it meanwhile.

    An input that stays as it was keeps who gave it, and when.
    """
    require(person, "worksheets.edit")
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


def _place(held: WorksheetInput | Given) -> tuple[Any, ...]:
    return held.typed, held.unit, held.dimension and held.dimension.pk, held.pattern and held.pattern.pk


def _filled(held: WorksheetInput, given: Given, person: Person, now: datetime) -> WorksheetInput:
    held.typed, held.unit = given.typed, given.unit
    held.dimension, held.pattern = given.dimension, given.pattern
    held.person_id, held.set_at = person.pk, now  # type: ignore[assignment]
    return held


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
    _demand_acceptable(state)
    assert state.result is not None
    assert state.banded is not None
    return AcceptedRecord.objects.create(  # type: ignore[misc]
        worksheet=worksheet,
        calculation=worksheet.calculation,
        cautions=list(state.banded.answer.cautions),
        bands=stored_bands(state.banded),
        note=note.strip(),
        person_id=person.pk,
        at=now,
        **record_fields(state.result),
    )


def _demand_acceptable(state: EvaluatedWorksheet) -> None:
    """Refuse what no remark makes right: holes of which nobody knows whether a bolt fits them."""
    for verdict in state.status.failing:
        if verdict.name in NEVER_ACCEPTED:
            raise ValidationError(f"Not accepted: {verdict.name}, {verdict.detail}")


@transaction.atomic
def delete_worksheet(worksheet: Worksheet, *, person: Person, reason: str, now: datetime) -> Worksheet:
    """Take a worksheet out of use, with a reason; its accepted records stay."""
    require(person, "worksheets.edit")
    return delete_record(worksheet, person=person, reason=reason, now=now)
