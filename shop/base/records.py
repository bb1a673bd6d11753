"""Records: found to be written to, saved, deleted without losing them, undone; person and reason in the history."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from django.shortcuts import get_object_or_404
from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.base import search_index, written
from shop.base.error_pages import DeletedMeanwhile
from shop.base.roles import Person, person_name
from specs.models.base import Deletable, Stale

Record = TypeVar("Record", bound=models.Model)
BELONGS_TO = ("job", "step", "template", "order", "line", "worksheet", "vehicle")
"""The fields by which a record is part of another: with that one deleted, nothing is written to its parts."""


def save_as(record: Record, *, person: Person, reason: str = "", fields: list[str] | None = None) -> Record:
    """Check a record and save it, or only the named fields of it, with the person and the whole reason in its history.

    Raises ValidationError in words for what the record refuses, and Stale where somebody saved it since it was read.
    """
    # The database holds constraints and keys; asking it about each beforehand would cost a query each. Only when it
    # refuses are they gone through, for the words.
    record.full_clean(exclude=_set_keys(record), validate_unique=False, validate_constraints=False)
    _sign(record, person, reason)
    try:
        with transaction.atomic():
            record.save(update_fields=fields if record.pk else None)
            search_index.keep(record)
    except IntegrityError:
        record.validate_unique()
        record.validate_constraints()
        raise
    return record


def _set_keys(record: models.Model) -> set[str]:
    keys = (field for field in record._meta.concrete_fields if field.is_relation)
    return {field.name for field in keys if getattr(record, field.attname) is not None}


def _sign(record: Any, person: Person, reason: str) -> None:
    record._history_user = person
    record._change_reason = reason.strip() or None


def delete_record(record: Record, *, person: Person, reason: str, now: datetime) -> Record:
    """Delete a record: it stays readable, with the reason. Callers check who may, and what hangs on it.

    Raises ValidationError without a reason, and where somebody else deleted it first, naming them.
    """
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why it is deleted.")})
    _refuse_deleted(record)
    record.deleted_reason, record.deleted_at, record.deleted_by_id = reason.strip(), now, person.pk  # type: ignore[attr-defined]
    _sign(record, person, reason)
    try:
        with transaction.atomic():
            record.save(update_fields=["deleted_reason", "deleted_at", "deleted_by"])
            search_index.keep(record)
    except Stale:
        record.refresh_from_db()
        _refuse_deleted(record)
        raise
    return record


def _refuse_deleted(record: Any) -> None:
    if record.is_deleted:
        raise ValidationError(
            gettext("{deletion_text} Nothing more was done.").format(deletion_text=deletion_text(record))
        )


def deletion_text(record: Any) -> str:
    """Who deleted a record, when and why: "Ama Boat deleted this on 14 May 2026: bought twice."."""
    who = person_name(record.deleted_by) if record.deleted_by else gettext("Somebody")
    day = written.day(localtime(record.deleted_at))
    return gettext("{who} deleted this on {day}: {rstrip}.").format(
        who=who, day=day, rstrip=record.deleted_reason.rstrip(".")
    )


def restore_record(record: Record, *, person: Person) -> Record:
    """Undo a deletion. Raises ValidationError where what it belongs to is deleted, or its place was taken since."""
    if not record.is_deleted:  # type: ignore[attr-defined]
        return record
    _refuse_orphan(record)
    before = gettext("Undone: {deleted_reason}").format(deleted_reason=record.deleted_reason)  # type: ignore[attr-defined]
    record.deleted_reason, record.deleted_at, record.deleted_by_id = "", None, None  # type: ignore[attr-defined]
    return save_as(record, person=person, reason=before, fields=["deleted_reason", "deleted_at", "deleted_by"])


def _refuse_orphan(record: models.Model) -> None:
    for field in record._meta.concrete_fields:
        owner = getattr(record, field.name) if field.is_relation else None
        if isinstance(owner, Deletable) and owner.is_deleted and not _came_along(field, owner, record):
            raise ValidationError(
                gettext("The {verbose_name} {owner} is deleted as well. Undo that first.").format(
                    verbose_name=gettext(str(owner._meta.verbose_name)), owner=owner
                )
            )


def _came_along(field: Any, owner: Deletable, record: Any) -> bool:
    """Whether it is one to one with the record and was deleted along with it: then it comes back along with it."""
    return bool(field.one_to_one) and owner.deleted_at == record.deleted_at


def remove_record(record: models.Model, *, person: Person) -> None:
    """Remove a row that only belongs to another record, such as an input of a worksheet; its history stays."""
    record._history_user = person  # type: ignore[attr-defined]
    record.delete()


def save_form(request: Any) -> Callable[[Any], Any]:
    """How a page's valid form is saved: under the name of the person signed in."""
    return lambda form: save_as(form.instance, person=request.user)


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
