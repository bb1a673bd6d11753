"""The roles as groups in the database, made whenever migrations ran."""

from typing import Any

from django.contrib.auth.models import Group

from shop.base.roles import ROLES


def make_groups(using: str = "default", **kwargs: Any) -> None:
    for role in ROLES:
        Group.objects.using(using).get_or_create(name=role)
