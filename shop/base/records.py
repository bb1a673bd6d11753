"""Writing records: with the person and the reason in their history; deleting them without losing them."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction

Record = TypeVar("Record", bound=models.Model)


def keep(record: Record, *, person: User, reason: str = "", fields: list[str] | None = None) -> Record:
    """Check a record whole and save it, with the person and the reason in its history.

    The database holds the constraints; asking it about each of them beforehand would cost a query each. Only when it
    refuses are they gone through, for the words.
    """
    record.full_clean(validate_constraints=False)
    record._history_user = person  # type: ignore[attr-defined]
    record._change_reason = reason[:100] or None  # type: ignore[attr-defined]
    try:
        with transaction.atomic():
            record.save(update_fields=fields if record.pk else None)
    except IntegrityError:
        record.validate_constraints()
        raise
    return record


def delete_record(record: Record, *, person: User, reason: str, now: datetime) -> Record:
    """Delete a record: it stays readable, with the reason. Callers check who may, and what hangs on it."""
    if not reason.strip():
        raise ValidationError({"reason": "Say why it is deleted."})
    if record.is_deleted:  # type: ignore[attr-defined]
        return record
    record.deleted_reason, record.deleted_at, record.deleted_by = reason.strip(), now, person  # type: ignore[attr-defined]
    record._history_user = person  # type: ignore[attr-defined]
    record.save(update_fields=["deleted_reason", "deleted_at", "deleted_by"])
    return record


def save_as(person: User, record: Record, reason: str = "") -> Record:
    """Save with the person and the reason in the record's history."""
    record._history_user = person  # type: ignore[attr-defined]
    record._change_reason = reason[:100] or None  # type: ignore[attr-defined]
    record.save()
    return record


def save_form(request: Any) -> Callable[[Any], Any]:
    """How a page's valid form is saved: under the name of the person signed in."""
    return lambda form: save_as(request.user, form.instance)
