"""The roles, and the actions that the owner gives to persons, as groups in the database; made after migrations."""

from typing import Any

from django.contrib.auth.models import Group

from shop.base.roles import ROLES, given_actions


def make_groups(using: str = "default", **kwargs: Any) -> None:
    for name in (*ROLES, *(action.name for action in given_actions())):
        Group.objects.using(using).get_or_create(name=name)
