from typing import Any

from django.http import HttpRequest

from shop.people.queries import preferences_of
from shop.people.roles import roles_of


def reader(request: HttpRequest) -> dict[str, Any]:
    """Who reads the page: ``preferences`` (units, paper, theme) and ``roles``."""
    person = getattr(request, "user", None)
    if person is None:
        return {}
    return {"preferences": preferences_of(person), "roles": roles_of(person)}
