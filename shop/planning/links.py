"""Secret, revocable addresses of calendars."""

from __future__ import annotations

import hashlib
import secrets
from datetime import datetime

from django.contrib.auth.models import User
from django.db import transaction

from shop.base.roles import require
from shop.planning.models import CalendarLink


def _digest(secret: str) -> str:
    return hashlib.sha256(secret.encode()).hexdigest()


@transaction.atomic
def make_link(*, person: User, now: datetime) -> str:
    """Give the person a new secret address and revoke the one before. The secret is shown once and not kept."""
    require(person, "planning.own")
    revoke_link(person=person, now=now)
    secret = secrets.token_urlsafe(32)
    link = CalendarLink(person=person, digest=_digest(secret))
    link._history_user = person  # type: ignore[attr-defined]
    link.save()
    return secret


@transaction.atomic
def revoke_link(*, person: User, now: datetime) -> None:
    """Stop the person's address."""
    require(person, "planning.own")
    for link in CalendarLink.objects.filter(person=person, revoked_at=None):
        link.revoked_at = now
        link._history_user = person  # type: ignore[attr-defined]
        link.save()


def person_of(secret: str) -> User | None:
    """The person whose address holds the secret; None for one that is unknown, revoked, or of somebody who left."""
    found = CalendarLink.objects.filter(digest=_digest(secret), revoked_at=None, person__is_active=True)
    link = found.select_related("person").first()
    return link.person if link else None
