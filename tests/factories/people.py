from collections.abc import Iterable
from itertools import count
from typing import Any

from django.contrib.auth.models import Group, User

from shop.base.roles import ROLES

_number = count(1)


def make_person(*, roles: Iterable[str] = (), **changes: Any) -> User:
    """A person who works here, in the given roles."""
    number = next(_number)
    chosen = {"username": f"person{number}", "first_name": "Person", "last_name": str(number), **changes}
    person = User.objects.create_user(**chosen)
    person.groups.set(Group.objects.filter(name__in=roles))
    return person


def make_people() -> dict[str, User]:
    """One person a role, by the role, who signs in under its name."""
    return {role: make_person(username=role, roles=[role]) for role in ROLES}
