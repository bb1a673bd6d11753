from collections.abc import Iterable
from itertools import count
from typing import Any

from django.contrib.auth.hashers import make_password
from django.contrib.auth.models import Group, User

from shop.base.roles import ROLES

_number = count(1)


def make_person(*, roles: Iterable[str] = (), **changes: Any) -> User:
    """A person who works here, in the given roles."""
    person = User.objects.create_user(**{**_usual(), **changes})
    if roles:
        person.groups.set(Group.objects.filter(name__in=roles))
    return person


def make_people() -> dict[str, User]:
    """One person a role, by the role, who signs in under its name; all at once, since most tests begin with them."""
    people = User.objects.bulk_create(
        User(**_usual() | {"username": role, "password": make_password(None)}) for role in ROLES
    )
    groups = {group.name: group for group in Group.objects.filter(name__in=ROLES)}
    held = User.groups.through
    held.objects.bulk_create(held(user=person, group=groups[person.username]) for person in people)
    return {person.username: person for person in people}


def _usual() -> dict[str, Any]:
    number = next(_number)
    return {"username": f"person{number}", "first_name": "Person", "last_name": str(number)}
