from shop.people.models import Preferences
from shop.people.roles import Person


def preferences_of(person: Person) -> Preferences:
    """A person's preferences, or the usual ones (unsaved) for a stranger or someone who never chose; read once."""
    kept: Preferences | None = getattr(person, "_preferences_read", None)
    if kept is None:
        found = Preferences.objects.filter(user_id=person.pk).first() if person.is_authenticated else None
        kept = found or Preferences(user_id=person.pk)
        person._preferences_read = kept  # type: ignore[union-attr]
    return kept
