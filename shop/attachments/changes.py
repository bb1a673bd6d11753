"""Keeping and deleting attachments: one verb each, with permission, one transaction and history inside."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from shop.attachments.models import Attachment
from shop.base.records import delete_record, save_as
from shop.base.roles import require


@transaction.atomic
def attach(owner: Any, *, paper: str, name: str, content: bytes, person: User, note: str = "") -> Attachment:
    """Keep a file with a supplier, job, vehicle or component. Raises ValidationError for what is not kept."""
    require(person, "attachments.attach")
    attachment = Attachment(paper=paper, note=note, attached_by_id=person.pk)
    setattr(attachment, owner._meta.model_name, owner)
    attachment.hold(name=name, content=content)
    attachment.full_clean(exclude=["attached_by"])
    return save_as(attachment, person=person)


@transaction.atomic
def delete_attachment(attachment: Attachment, *, person: User, reason: str, now: datetime) -> Attachment:
    """Delete a document that was kept by mistake; it stays readable, with the reason."""
    require(person, "attachments.attach")
    return delete_record(attachment, person=person, reason=reason, now=now)
