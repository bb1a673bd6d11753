"""Who asks: session, person, roles and preferences, kept while nobody wrote, since every page asks for all of it.

What is kept are plain values; each request makes records of its own of them, so that none changes another's.
"""

from __future__ import annotations

from copy import deepcopy
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib.auth.backends import ModelBackend
from django.contrib.auth.models import User
from django.contrib.sessions.backends.db import SessionStore as DatabaseSessions
from django.contrib.sessions.models import Session
from django.utils import timezone

from shop.base.roles import remember_held
from shop.base.unchanged import while_unchanged
from shop.people.models import Preferences, remember_preferences
from specs.written import written_as_usual

_AT_SIGN_IN = "last_login"
"""Written at each sign-in, and read of nobody who asks for a page."""
_USER = tuple(field.attname for field in User._meta.concrete_fields if field.attname != _AT_SIGN_IN)
_PREFERENCES = tuple(field.attname for field in Preferences._meta.concrete_fields)


@dataclass(frozen=True)
class _Known:
    """A person's row, the names of their groups, and the row of their preferences, None for who never chose."""

    user: tuple[Any, ...]
    held: frozenset[str]
    preferences: tuple[Any, ...] | None


@while_unchanged
def _known(key: int) -> _Known:
    person = User.objects.filter(pk=key)
    return _Known(
        user=person.values_list(*_USER).get(),
        held=frozenset(person.filter(groups__name__isnull=False).values_list("groups__name", flat=True)),
        preferences=Preferences.objects.filter(user=key).values_list(*_PREFERENCES).first(),
    )


class KnownPersons(ModelBackend):
    """Finds the person of a session with all that a page asks of its reader."""

    def get_user(self, user_id: int) -> User | None:
        try:
            with written_as_usual():  # how this person wants things written is not known yet
                known = _known(user_id)
        except User.DoesNotExist:
            return None
        user = User.from_db("default", _USER, known.user)
        chosen = known.preferences and Preferences.from_db("default", _PREFERENCES, known.preferences)
        remember_held(user, known.held)
        remember_preferences(user, chosen or Preferences())
        return user if self.user_can_authenticate(user) else None


@while_unchanged
def _session(key: str) -> tuple[dict[str, Any], datetime]:
    """What a session holds, and until when. A key that names none is kept by nobody: LookupError."""
    found = Session.objects.filter(session_key=key).first()
    if found is None:
        raise LookupError(key)
    return found.get_decoded(), found.expire_date


class SessionStore(DatabaseSessions):
    """The sessions of the database; one that nobody wrote to meanwhile is not read again."""

    def load(self) -> dict[str, Any]:
        try:
            with written_as_usual():
                held, until = _session(str(self.session_key))
        except LookupError:
            held, until = {}, timezone.now()
        return deepcopy(held) if until > timezone.now() else super().load()
