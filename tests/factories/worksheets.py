"""Plain worksheets for tests; every argument may be changed."""

from __future__ import annotations

from typing import Any

from django.utils import timezone

from shop.worksheets.changes import accept_worksheet
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet, WorksheetInput
from specs.models import Dimension, HolePattern
from tests.factories.people import make_person


def make_worksheet(inputs: dict[str, str | Dimension | HolePattern] | None = None, **changes: Any) -> Worksheet:
    """A worksheet of the torque wrench with its adapter; each input a text as typed, a dimension or a pattern."""
    person = changes.pop("person", None) or make_person()
    usual = {"calculation": "wrench-adapter", "title": "Wrench with the crow's foot"}
    worksheet = Worksheet.objects.create(**{**usual, **changes})
    chosen = {"target": "100 N*m", "wrench_length": "400 mm", "extension": "50 mm"} if inputs is None else inputs
    for path, given in chosen.items():
        place = {
            "typed": given if isinstance(given, str) else "",
            "dimension": given if isinstance(given, Dimension) else None,
            "pattern": given if isinstance(given, HolePattern) else None,
        }
        WorksheetInput.objects.create(worksheet=worksheet, path=path, person=person, set_at=timezone.now(), **place)
    return worksheet


def accepted_worksheet(person: Any, **changes: Any) -> Worksheet:
    """A worksheet that a person accepted, and that holds."""
    sheet = make_worksheet(**changes)
    accept_worksheet(
        worksheet=sheet, token=worksheet_state(sheet).token, person=person, now=timezone.now(), note="looked at"
    )
    return sheet


def moved(sheet: Worksheet, path: str = "extension", typed: str = "60 mm") -> None:
    """Type another value into a worksheet, as if it had been measured again."""
    held = sheet.inputs.get(path=path)
    held.typed = typed
    held.save()
