"""An accepted record in the words of a card."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.formats import date_format
from django.utils.timezone import localtime

from shop.base.roles import person_name
from shop.print.facts import Pair
from shop.worksheets.accepted_text import kept_lines
from shop.worksheets.models import AcceptedRecord
from specs.engine.units import System


@dataclass(frozen=True)
class KeptWorksheet:
    """Who accepted it and when, its results and checks as accepted; all empty where nothing was."""

    accepted: str = ""
    results: tuple[Pair, ...] = ()
    checks: tuple[str, ...] = ()


def kept_worksheet(record: AcceptedRecord | None, system: System) -> KeptWorksheet:
    """An accepted record as a card prints it."""
    if record is None:
        return KeptWorksheet()
    lines = kept_lines(record, system)
    when = date_format(localtime(record.at), "j M Y")
    return KeptWorksheet(
        accepted=f"accepted by {person_name(record.person)} on {when}, method revision {record.revision}",
        results=lines.results,
        checks=tuple(f"{check.name}: {check.verdict}" for check in lines.checks),
    )
