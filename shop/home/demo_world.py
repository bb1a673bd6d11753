"""The invented workshop of the demo: who works there, and on which day it is told.

Each area adds its own part in ``shop/<area>/demo.py``::

    def make(world: World) -> None:
        Vehicle.objects.create(..., received_on=world.day(-40))

Parts are made once, in the order of ``AREAS``, in one transaction. What a later area needs to find by name goes into
``world.made``.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date, timedelta
from importlib import import_module
from importlib.util import find_spec
from typing import Any

from django.apps import apps
from django.contrib.auth.models import Group, User
from django.db import transaction
from django.db.models import Model

from shop.home.models import DemoMark
from shop.people.roles import BUYER, FITTER, MACHINIST, OWNER

AREAS = ("reference", "vehicles", "worksheets", "jobs", "orders", "planning", "cards", "home")
PASSWORD = "plate-and-flywheel"
PEOPLE = (
    ("hedda", "Hedda", "Marlow", OWNER),
    ("jonas", "Jonas", "Pike", FITTER),
    ("ama", "Ama", "Darrow", FITTER),
    ("tibor", "Tibor", "Lund", MACHINIST),
    ("wren", "Wren", "Calloway", BUYER),
)


@dataclass
class World:
    """What every part of the demo knows: today, the people by sign-in name, chance that repeats, things by name."""

    today: date
    people: dict[str, User]
    chance: random.Random = field(default_factory=lambda: random.Random(1861))
    made: dict[str, Any] = field(default_factory=dict)

    def day(self, offset: int) -> date:
        """The day that many days after today; before it when negative."""
        return self.today + timedelta(days=offset)


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
    """Make the people and every area's part, and mark the database as a demo's."""
    world = World(today, {name: _person(name, first, last, role) for name, first, last, role in PEOPLE})
    for area in AREAS:
        if find_spec(f"shop.{area}.demo"):
            import_module(f"shop.{area}.demo").make(world)
    DemoMark.objects.create(made_on=today)


def _person(name: str, first: str, last: str, role: str) -> User:
    person, new = User.objects.get_or_create(username=name, defaults={"first_name": first, "last_name": last})
    if new:
        person.set_password(PASSWORD)
        person.save()
        person.groups.set([Group.objects.get(name=role)])
    return person
