"""What is done about a person's place here. Each verb asks for the permission and leaves a line of who did it."""

from axes.utils import reset
from django.contrib.auth.models import Group, User
from django.db import transaction
from django.utils.translation import gettext

from shop.base import search_index
from shop.base.roles import OWNER, Action, require
from shop.people.models import StaffChange


class StaffChangeRefused(Exception):
    """The change would leave the shop without anybody who may do everything; the message says so."""


@transaction.atomic
def add_person(
    *, person: User | None, username: str, first_name: str, last_name: str, role: str, password: str
) -> User:
    """Let a new person sign in, in one role. ``by`` is None only at the command line, for the first owner."""
    _permit(person)
    member = User.objects.create_user(username, password=password, first_name=first_name, last_name=last_name)
    member.groups.add(Group.objects.get(name=role))
    search_index.keep(member)
    _note(member, gettext("added as {role}").format(role=role), person)
    return member


@transaction.atomic
def give_role(member: User, *, person: User, role: str) -> None:
    """Let the person do what the role may; nothing happens when they have it."""
    _permit(person)
    if not member.groups.filter(name=role).exists():
        member.groups.add(Group.objects.get(name=role))
        _note(member, gettext("given the role {role}").format(role=role), person)


@transaction.atomic
def take_role(member: User, *, person: User, role: str) -> None:
    """Take a role away; raises Refused for the last owner's."""
    _permit(person)
    if not member.groups.filter(name=role).exists():
        return
    if role == OWNER:
        _keep_an_owner(member)
    member.groups.remove(Group.objects.get(name=role))
    _note(member, gettext("no longer {role}").format(role=role), person)


@transaction.atomic
def give_action(member: User, *, person: User, action: Action) -> None:
    """Let the person do what the owner gives to single persons; nothing happens when they have it."""
    _permit(person)
    if not member.groups.filter(name=action.name).exists():
        member.groups.add(Group.objects.get(name=action.name))
        _note(member, gettext("may {words}").format(words=action.words), person)


@transaction.atomic
def take_action(member: User, *, person: User, action: Action) -> None:
    """Take back what the owner gave."""
    _permit(person)
    if member.groups.filter(name=action.name).exists():
        member.groups.remove(Group.objects.get(name=action.name))
        _note(member, gettext("may no longer {words}").format(words=action.words), person)


@transaction.atomic
def let_go(member: User, *, person: User) -> None:
    """The person has left: they cannot sign in, and what they recorded keeps their name."""
    _permit(person)
    _keep_an_owner(member)
    if member.is_active:
        member.is_active = False
        member.save(update_fields=["is_active"])
        search_index.keep(member)
        _note(member, "left", person)


@transaction.atomic
def take_back(member: User, *, person: User) -> None:
    """The person is back, in the roles they had."""
    _permit(person)
    if not member.is_active:
        member.is_active = True
        member.save(update_fields=["is_active"])
        search_index.keep(member)
        _note(member, gettext("came back"), person)


@transaction.atomic
def give_password(member: User, *, person: User, password: str) -> None:
    """Set a new password for somebody who forgot theirs, and open a name that was shut by wrong ones."""
    _permit(person)
    member.set_password(password)
    member.save(update_fields=["password"])
    reset(username=member.username)
    _note(member, gettext("given a new password"), person)


@transaction.atomic
def give_email(member: User, *, person: User, email: str) -> User:
    """Set where a person's mail goes: the person's own, or anybody's for who may manage people; empty stops it."""
    require(person, "people.own" if person.pk == member.pk else "people.manage")
    if member.email != email:
        member.email = email
        member.save(update_fields=["email"])
        _note(
            member,
            gettext("mail address set to {email}").format(email=email)[:200]
            if email
            else gettext("mail address taken away"),
            person,
        )
    return member


def _permit(person: User | None) -> None:
    if person is not None:
        require(person, "people.manage")


def _keep_an_owner(person: User) -> None:
    # The rows are locked (PostgreSQL) or the database is (SQLite), so two owners cannot remove each other at once.
    owners = User.objects.select_for_update().filter(groups__name=OWNER, is_active=True)
    if list(owners) == [person]:
        raise StaffChangeRefused(gettext("This is the last owner here. Make somebody else an owner first."))


def _note(member: User, words: str, person: User | None) -> None:
    StaffChange.objects.create(person=member, words=words, by=person)
