from django.contrib.auth.models import User

from shop.base.roles import Person
from shop.people.models import Preferences

_READ = "_preferences_read"  # kept on the person for the rest of the request


def preferences_of(person: Person) -> Preferences:
    """A person's preferences, or the usual ones (unsaved) for a stranger or someone who never chose; read once."""
    kept: Preferences | None = getattr(person, _READ, None)
    if kept is None:
        kept = _stored(person) if isinstance(person, User) else Preferences()
        setattr(person, _READ, kept)
    return kept


def _stored(person: User) -> Preferences:
    return Preferences.objects.filter(user=person).first() or Preferences(user=person)
