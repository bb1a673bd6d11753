"""How worksheets stand today, kept lot by lot: a changed reading has only those read again that lie beside it."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass, replace
from datetime import date

from django.db import connection

from shop.base.unchanged import while_unchanged
from shop.worksheets.evaluation import EvaluatedWorksheet, for_states, states_in_brief, work_out
from shop.worksheets.models import Worksheet
from shop.worksheets.rules import WorksheetStatus

LOT = 32
"""Worksheets that are read together: fewer are more questions after any write, more are more to work out."""


@dataclass(frozen=True, eq=False)
class Brief:
    """A worksheet's name and how it stands; None where it was deleted, with the reason.

    `changed` is all of it where it does not bear out what was accepted: left out by `briefs` but in a transaction.
    """

    name: str
    status: WorksheetStatus | None
    deleted_reason: str = ""
    changed: EvaluatedWorksheet | None = None


def briefs(keys: Collection[int], today: date) -> dict[int, Brief]:
    """How worksheets stand, by key, deleted ones among them."""
    found = _by_lots(keys, today, _in_brief)
    return {key: found[key] for key in keys if key in found}


def _by_lots(keys: Collection[int], today: date, read: Callable[[int, date], dict[int, Brief]]) -> dict[int, Brief]:
    """The lots that hold these; in a transaction, where nothing is kept, these alone and all at once."""
    if connection.in_atomic_block:
        return briefs_and_states(keys)[0]
    found: dict[int, Brief] = {}
    for lot in sorted({key // LOT for key in keys}):
        found |= read(lot, today)
    return found


@while_unchanged
def _in_brief(lot: int, today: date) -> dict[int, Brief]:
    """A lot without its figures: whoever asks only whether worksheets hold stands while they do as they did."""
    return {key: replace(sheet, changed=None) for key, sheet in _lot(lot, today).items()}


@while_unchanged
def _lot(lot: int, today: date) -> dict[int, Brief]:
    return briefs_and_states(range(lot * LOT, lot * LOT + LOT))[0]


def briefs_and_states(keys: Collection[int]) -> tuple[dict[int, Brief], dict[int, EvaluatedWorksheet]]:
    """How worksheets stand, read now; and of those that nobody deleted what working them out came to."""
    sheets = list(for_states(Worksheet.objects.filter(pk__in=keys))) if keys else []
    states = states_in_brief(sheet for sheet in sheets if not sheet.is_deleted)
    return {sheet.pk: _brief(sheet, states.get(sheet.pk)) for sheet in sheets}, states


def _brief(sheet: Worksheet, state: EvaluatedWorksheet | None) -> Brief:
    if state is None:
        return Brief(str(sheet), None, sheet.deleted_reason)
    if not state.status.out_of_date:
        return Brief(str(sheet), state.status)
    # What was accepted is told without an answer where no input moved; what changed is shown with today's.
    return Brief(str(sheet), state.status, changed=state if state.resolved else work_out(sheet))


@while_unchanged
def states_today(keys: tuple[int, ...], today: date) -> dict[int, EvaluatedWorksheet]:
    """How these worksheets stand, by key, each with its answer, for the pages that show them."""
    return {sheet.pk: work_out(sheet) for sheet in for_states(Worksheet.objects.filter(pk__in=keys))}


@while_unchanged
def changed_since_accepted(today: date) -> tuple[EvaluatedWorksheet, ...]:
    """The worksheets that something was accepted of, and that do not bear it out today."""
    accepted = Worksheet.objects.active().filter(accepted__isnull=False).distinct()
    keys = list(accepted.values_list("pk", flat=True))
    found = _by_lots(keys, today, _lot)
    return tuple(changed for key in keys if (changed := found[key].changed))
