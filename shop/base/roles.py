"""Who may do what.

Four roles, kept as Django groups. Each area declares its own actions in ``shop/<area>/actions.py``::

    from shop.base.roles import BUYER, Action

    ACTIONS = [Action("orders.chase", "record a chase", {BUYER})]

The owner may do everything. A person without the role is told which roles may. An action that is ``given`` belongs to
the persons to whom the owner gives it, as a group of the action's name.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from typing import Any

from django.apps import apps
from django.contrib.auth.models import AnonymousUser, User
from django.core.exceptions import PermissionDenied
from django.utils.module_loading import module_has_submodule
from django.utils.translation import gettext, gettext_noop

OWNER, FITTER = gettext_noop("owner"), gettext_noop("fitter")
MACHINIST, BUYER = gettext_noop("machinist"), gettext_noop("buyer")
ROLES = (OWNER, FITTER, MACHINIST, BUYER)
EVERYONE = frozenset(ROLES)

_HELD = "_groups_held"  # kept on the person for the rest of the request

Person = User | AnonymousUser


@dataclass(frozen=True)
class Action:
    """Something a person may do: ``name`` as "area.verb", ``words`` that finish "may …", and the roles that may.

    given: the owner gives it to single persons as well.
    """

    name: str
    words: str
    roles: Iterable[str] = ()
    given: bool = False

    def allows(self, held: frozenset[str]) -> bool:
        """Whether somebody with these roles and given actions may."""
        return OWNER in held or bool(held & frozenset(self.roles)) or (self.given and self.name in held)

    @property
    def who(self) -> str:
        """The roles that may, for a sentence: "owner, fitter"."""
        return ", ".join(gettext(role) for role in ROLES if role == OWNER or role in frozenset(self.roles))


@cache
def actions() -> dict[str, Action]:
    """Every action that the areas declare, by name."""
    declared: dict[str, Action] = {}
    for app in apps.get_app_configs():
        if not (app.name.startswith("shop.") and module_has_submodule(app.module, "actions")):
            continue
        for action in import_module(f"{app.name}.actions").ACTIONS:
            _check(action, app.label, declared)
            declared[action.name] = action
    return declared


def _check(action: Action, label: str, declared: dict[str, Action]) -> None:
    if not action.name.startswith(f"{label}.") or action.name in declared:
        raise ValueError(
            gettext("action {name} of {label} must be new and start with {label} and a dot").format(
                name=f"{action.name!r}", label=f"{label!r}"
            )
        )
    if unknown := frozenset(action.roles) - EVERYONE:
        raise ValueError(
            gettext("action {name} names unknown roles: {sorted}").format(
                name=f"{action.name!r}", sorted=sorted(unknown)
            )
        )


NAMES = ("first_name", "last_name", "username")
"""What is read of a person who is named."""


def person_name(person: Any) -> str:
    """A person as they are called: by name, or as they sign in."""
    return str(person.get_full_name() or person.get_username())


def given_actions() -> tuple[Action, ...]:
    """The actions that the owner gives to single persons."""
    return tuple(action for action in actions().values() if action.given)


def roles_of(person: Person) -> frozenset[str]:
    """The roles that a person holds; read once a request."""
    return EVERYONE & _held_by(person)


def _held_by(person: Person) -> frozenset[str]:
    """The roles of a person and the actions that the owner gave them."""
    if not person.is_authenticated:
        return frozenset()
    held: frozenset[str] | None = getattr(person, _HELD, None)
    if held is None:
        held = frozenset(person.groups.values_list("name", flat=True))
        remember_held(person, held)
    return held


def remember_held(person: User, names: frozenset[str]) -> None:
    """Let a person hold these roles and given actions for the rest of the request."""
    setattr(person, _HELD, names)


def may(person: Person, action: str) -> bool:
    """Whether a person may do an action. An action nobody declared is a mistake in the program: KeyError."""
    return actions()[action].allows(_held_by(person))


def require(person: Person, action: str) -> None:
    """Raise PermissionDenied, in words for the page, unless the person may do the action."""
    if not may(person, action):
        declared = actions()[action]
        leave = gettext(", or to be given it by the owner") if declared.given else ""
        raise PermissionDenied(
            gettext("To {words} you need one of these roles: {who}{leave}.").format(
                words=declared.words, who=declared.who, leave=leave
            )
        )
