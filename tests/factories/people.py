from collections.abc import Iterable
from itertools import count
from typing import Any

from django.contrib.auth.models import Group, User

_number = count(1)


def make_person(*, roles: Iterable[str] = (), **changes: Any) -> User:
    """A person who works here, in the given roles."""
    number = next(_number)
    chosen = {"username": f"person{number}", "first_name": "Person", "last_name": str(number), **changes}
    person = User.objects.create_user(**chosen)
    person.groups.set(Group.objects.filter(name__in=roles))
    return person
