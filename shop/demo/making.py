"""The making of the demo: every part, once, in one transaction.

The parts are made in the order of ``PARTS``; see ``shop.demo.world`` for what they share.
"""

from collections.abc import Iterator
from datetime import date

from django.apps import apps
from django.contrib.auth.models import Group, User
from django.db import transaction
from django.db.models import Model

from shop.demo import components, jobs, orders, vehicles, worksheets
from shop.demo.models import DemoMark
from shop.demo.world import (
    MAIL_DOMAIN,
    PASSWORD,
    PEOPLE,
    World,
)

PARTS = (components, vehicles, worksheets, jobs, orders)


def is_demo() -> bool:
    return DemoMark.objects.exists()


def holds_records() -> bool:
    """Whether anything at all was written here: a person, or a record of any area."""
    return User.objects.exists() or any(model._default_manager.exists() for model in _models_of_ours())


def _models_of_ours() -> Iterator[type[Model]]:
    for app in apps.get_app_configs():
        if app.name.split(".")[0] in ("shop", "specs"):
            yield from (model for model in app.get_models() if model is not DemoMark)


@transaction.atomic
def make_demo(today: date) -> None:
    """Make the people and every part, and mark the database as a demo's."""
    world = World(today, {name: _person(name, first, last, role) for name, first, last, role in PEOPLE})
    for part in PARTS:
        part.make(world)
    DemoMark.objects.create(made_on=today)


def names_taken() -> list[str]:
    """Sign-in names of the demo that a real person has: nobody gains a role, or a known password, by a demo."""
    names = [name for name, *_ in PEOPLE]
    return sorted(User.objects.filter(username__in=names).values_list("username", flat=True))


def _person(name: str, first: str, last: str, role: str) -> User:
    person = User.objects.create_user(
        name, password=PASSWORD, first_name=first, last_name=last, email=f"{name}@{MAIL_DOMAIN}"
    )
    person.groups.set([Group.objects.get(name=role)])
    return person
