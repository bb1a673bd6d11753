"""What is done about a person's place here. Each verb asks for the permission and leaves a line of who did it."""

from axes.utils import reset
from django.contrib.auth.models import Group, User
from django.db import transaction

from shop.people.models import StaffChange
from shop.people.roles import OWNER, require


class Refused(Exception):
    """The change would leave the shop without anybody who may do everything; the message says so."""


@transaction.atomic
def add_person(*, by: User | None, username: str, first_name: str, last_name: str, role: str, password: str) -> User:
    """Let a new person sign in, in one role. ``by`` is None only at the command line, for the first owner."""
    _permit(by)
    person = User.objects.create_user(username, password=password, first_name=first_name, last_name=last_name)
    person.groups.add(Group.objects.get(name=role))
    _note(person, f"began here as {role}", by)
    return person


@transaction.atomic
def give_role(*, by: User, person: User, role: str) -> None:
    """Let the person do what the role may; nothing happens when they have it."""
    _permit(by)
    if not person.groups.filter(name=role).exists():
        person.groups.add(Group.objects.get(name=role))
        _note(person, f"given the role {role}", by)


@transaction.atomic
def take_role(*, by: User, person: User, role: str) -> None:
    """Take a role away; raises Refused for the last owner's."""
    _permit(by)
    if not person.groups.filter(name=role).exists():
        return
    if role == OWNER:
        _keep_an_owner(person)
    person.groups.remove(Group.objects.get(name=role))
    _note(person, f"no longer {role}", by)


@transaction.atomic
def let_go(*, by: User, person: User) -> None:
    """The person has left: they cannot sign in, and what they recorded keeps their name."""
    _permit(by)
    _keep_an_owner(person)
    if person.is_active:
        person.is_active = False
        person.save(update_fields=["is_active"])
        _note(person, "left", by)


@transaction.atomic
def take_back(*, by: User, person: User) -> None:
    """The person is back, in the roles they had."""
    _permit(by)
    if not person.is_active:
        person.is_active = True
        person.save(update_fields=["is_active"])
        _note(person, "came back", by)


@transaction.atomic
def give_password(*, by: User, person: User, password: str) -> None:
    """Set a new password for somebody who forgot theirs, and open a name that was shut by wrong ones."""
    _permit(by)
    person.set_password(password)
    person.save(update_fields=["password"])
    reset(username=person.username)
    _note(person, "given a new password", by)


def _permit(by: User | None) -> None:
    if by is not None:
        require(by, "people.manage")


def _keep_an_owner(person: User) -> None:
    # The rows are locked (PostgreSQL) or the database is (SQLite), so two owners cannot remove each other at once.
    owners = User.objects.select_for_update().filter(groups__name=OWNER, is_active=True)
    if list(owners) == [person]:
        raise Refused("This is the last owner here. Make somebody else an owner first.")


def _note(person: User, words: str, by: User | None) -> None:
    StaffChange.objects.create(person=person, words=words, by=by)
