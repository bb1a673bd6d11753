"""Making the invented workshop: every part of it, once, in one transaction.

The parts are made in the order of ``PARTS``; see ``shop.demo.world`` for what they share.
"""

from __future__ import annotations

from datetime import date
from importlib import import_module

from django.contrib.auth.models import Group, User
from django.db import transaction

from shop.base import search_index
from shop.base.records import save_as
from shop.base.shop_details import details_to_edit
from shop.demo.models import DemoMark
from shop.demo.ranges import lock, sample_rows
from shop.demo.world import MAIL_DOMAIN, PASSWORD, PEOPLE, World
from shop.home.first_run import ALL, put_away

PARTS = ("components", "vehicles", "worksheets", "jobs", "orders", "letters", "payables", "replies", "documents")


@transaction.atomic
def make_demo(today: date) -> None:
    """Make the people and every part, and mark the database as a demo's."""
    lock()
    with sample_rows():
        world = World(today, {name: _person(name, first, last, role) for name, first, last, role in PEOPLE})
        make_world(world)
        _settle_in(world.people["hedda"])
        DemoMark.objects.create(made_on=today)
    search_index.rebuild()


def _settle_in(owner: User) -> None:
    """The shop's name and address, and no list of what a new shop enters first."""
    details = details_to_edit()
    details.postal_address = "4 Mill Yard\nLinnet Bridge LB3 7TN"
    save_as(details, person=owner)
    put_away(ALL, person=owner)


def make_world(world: World) -> None:
    """Make every part for the people of a world."""
    for part in PARTS:
        # Loaded when it is made: the site offers the world as sample data, and a worker need not carry all of it.
        import_module(f"shop.demo.{part}").make(world)


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
