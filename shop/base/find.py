"""Finding the record that a page writes to: one that somebody deleted meanwhile is answered with who did and why."""

from typing import Any

from django.shortcuts import get_object_or_404

from shop.base.error_pages import DeletedMeanwhile
from shop.base.records import deletion_text

BELONGS_TO = ("job", "step", "template", "order", "line", "worksheet", "vehicle")
"""The fields by which a record is part of another: with that one deleted, nothing is written to its parts."""


def refuse_deleted(record: Any) -> None:
    """Raise DeletedMeanwhile for a record that somebody deleted, or that is part of one."""
    if getattr(record, "is_deleted", False):
        raise DeletedMeanwhile(deletion_text(record))
    own = {field.name for field in record._meta.concrete_fields if field.is_relation and not field.null}
    for name in BELONGS_TO:
        if name in own:
            refuse_deleted(getattr(record, name))


def find_current(rows: Any, pk: int) -> Any:
    """The record of this number. Raises DeletedMeanwhile for a deleted one, Http404 for one that never was."""
    found = get_object_or_404(rows, pk=pk)
    refuse_deleted(found)
    return found
