"""Whether a printed sheet is current: what changed since, and whether the same was printed again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, get_args

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.print.changes import facts_of, why_deleted
from shop.print.facts import Heading
from shop.print.kinds import SheetKind, sheet_kinds
from shop.print.models import PrintedSheet
from shop.print.sheet_changes import FactChange, facts_changed
from specs.engine.units import System


@dataclass(frozen=True)
class SheetState:
    """A printed sheet today. `refused` says why its like may not be printed any more; `later` came after it."""

    sheet: PrintedSheet
    kind: SheetKind | None
    changes: tuple[FactChange, ...]
    later: Sequence[PrintedSheet]
    refused: str = ""

    @property
    def is_current(self) -> bool:
        """Whether it may be worked from: the record says the same today, and no later sheet is out."""
        return not (self.changes or self.refused or self.later)


def sheet_state(sheet: PrintedSheet, today: date) -> SheetState:
    """Compare a sheet with its record as it is today."""
    kind = sheet_kinds().get(sheet.kind)
    later: list[PrintedSheet] = []
    if kind:
        same = PrintedSheet.objects.for_list().filter(kind=sheet.kind, **{kind.subject: sheet.subject})
        later = list(same.filter(pk__gt=sheet.pk))
    if deleted := why_deleted(sheet.subject):
        return SheetState(
            sheet, kind, (), later, gettext("What it is of was deleted: {deleted}.").format(deleted=deleted)
        )
    if kind is None:
        return SheetState(sheet, kind, (), later, gettext("Sheets of this kind are not printed any more."))
    try:
        return SheetState(sheet, kind, _changes(sheet, kind, today), later)
    except ValidationError as why:
        return SheetState(sheet, kind, (), later, " ".join(why.messages))


def _changes(sheet: PrintedSheet, kind: SheetKind, today: date) -> tuple[FactChange, ...]:
    """The fewest changes of both unit systems: a sheet does not say in which it was printed."""
    return min((_changes_in(sheet, kind, system, today) for system in get_args(System)), key=len)


def _changes_in(sheet: PrintedSheet, kind: SheetKind, system: System, today: date) -> tuple[FactChange, ...]:
    kept: dict[str, Any] = sheet.facts
    return facts_changed(kept, facts_of(kind, sheet.subject, Heading(**kept["heading"]), system, today))
