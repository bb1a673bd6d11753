"""How worksheets stand today, kept lot by lot: a changed reading has only those read again that lie beside it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, replace
from datetime import date
from typing import TypeVar

from django.db import connection

from shop.base.unchanged import while_unchanged
from shop.worksheets.evaluation import EvaluatedWorksheet, states_in_brief, work_out
from shop.worksheets.kept_parts import name_persons, put_together
from shop.worksheets.models import Worksheet
from shop.worksheets.naming import with_names
from shop.worksheets.rules import WorksheetStatus
from shop.worksheets.what_states_read import for_states

Found = TypeVar("Found")

LOT = 4
"""Worksheets that are read together: fewer are more questions after a write that concerns them, more more to read."""


@dataclass(frozen=True, eq=False)
class Brief:
    """A worksheet's name and how it stands; None where it was deleted, with the reason.

    `state` is all that working it out came to: left out by `briefs`.
    """

    name: str
    status: WorksheetStatus | None
    deleted_reason: str = ""
    state: EvaluatedWorksheet | None = None


def briefs(keys: Collection[int], today: date) -> dict[int, Brief]:
    """How worksheets stand, by key, deleted ones among them."""
    if connection.in_atomic_block:  # Nothing is kept: these alone and all at once.
        return briefs_and_states(keys)[0]
    found = by_lots(keys, lambda lot: _in_brief(lot, today))
    return {key: found[key] for key in keys if key in found}


def by_lots(keys: Iterable[int], read: Callable[[int], dict[int, Found]]) -> dict[int, Found]:
    """Read the lots that hold these."""
    found: dict[int, Found] = {}
    for lot in sorted({key // LOT for key in keys}):
        found |= read(lot)
    return found


@while_unchanged
def _in_brief(lot: int, today: date) -> dict[int, Brief]:
    """A lot without its figures and names: whoever asks only whether worksheets hold stands while they do as they did,
    whatever anybody is called."""
    return {key: replace(sheet, state=None) for key, sheet in _nameless(lot, today).items()}


@while_unchanged
def lot_today(lot: int, today: date) -> dict[int, Brief]:
    """The worksheets of a lot, by key, each with all that working it out came to, and whoever is named in it."""
    found = _nameless(lot, today)
    name_persons(sheet.state.worksheet for sheet in found.values() if sheet.state)
    return {key: _named(sheet) for key, sheet in found.items()}


def _named(sheet: Brief) -> Brief:
    if sheet.state is None:
        return sheet
    state = with_names(sheet.state)
    return replace(sheet, status=state.status, state=state)


@while_unchanged
def _nameless(lot: int, today: date) -> dict[int, Brief]:
    return _worked_out(put_together(range(lot * LOT, lot * LOT + LOT)))


def _worked_out(sheets: Iterable[Worksheet]) -> dict[int, Brief]:
    return {sheet.pk: _brief(sheet, None if sheet.is_deleted else work_out(sheet)) for sheet in sheets}


def briefs_and_states(keys: Collection[int]) -> tuple[dict[int, Brief], dict[int, EvaluatedWorksheet]]:
    """How worksheets stand, read now; and of those that nobody deleted what working them out came to, where it had to
    be done."""
    sheets = list(for_states(Worksheet.objects.filter(pk__in=keys))) if keys else []
    states = states_in_brief(sheet for sheet in sheets if not sheet.is_deleted)
    return {sheet.pk: replace(_brief(sheet, states.get(sheet.pk)), state=None) for sheet in sheets}, states


def _brief(sheet: Worksheet, state: EvaluatedWorksheet | None) -> Brief:
    if state is None:
        return Brief(str(sheet), None, sheet.deleted_reason)
    return Brief(str(sheet), state.status, state=state)


def states_today(keys: Collection[int], today: date) -> dict[int, EvaluatedWorksheet]:
    """How these worksheets stand, by key, each with its answer, for the pages that show them; a deleted one too."""
    if connection.in_atomic_block:  # As above.
        found = _worked_out(for_states(Worksheet.objects.filter(pk__in=keys)))
    else:
        found = by_lots(keys, lambda lot: lot_today(lot, today))
    states = {key: found[key].state for key in keys if key in found}
    deleted = [key for key, state in states.items() if state is None]
    rest = (
        {sheet.pk: work_out(sheet) for sheet in for_states(Worksheet.objects.filter(pk__in=deleted))} if deleted else {}
    )
    return {key: state or rest[key] for key, state in states.items()}


def changed_since_accepted(today: date) -> tuple[EvaluatedWorksheet, ...]:
    """The worksheets that something was accepted of, and that do not bear it out today."""
    accepted = Worksheet.objects.active().filter(accepted__isnull=False).distinct()
    keys = list(accepted.values_list("pk", flat=True))
    known = briefs(keys, today)
    changed = [key for key in keys if (status := known[key].status) and status.out_of_date]
    return tuple(states_today(changed, today).values())
