"""Which role may do which action, from the declarations of the areas."""

import pytest
from django.contrib.auth.models import AnonymousUser, Group, User
from django.core.exceptions import PermissionDenied

from shop.base.access import edits
from shop.base.roles import (
    BUYER,
    FITTER,
    OWNER,
    ROLES,
    Action,
    actions,
    may,
    require,
)
from tests.factories.people import make_person


def test_the_four_roles_stand_in_the_database(db: None) -> None:
    assert set(Group.objects.values_list("name", flat=True)) >= set(ROLES)


def test_the_owner_may_do_everything(people: dict[str, User]) -> None:
    assert actions()
    assert all(may(people["owner"], name) for name in actions())


def test_a_stranger_and_a_person_without_role_may_do_nothing(db: None) -> None:
    nobody = make_person()
    assert not any(may(person, name) for person in (AnonymousUser(), nobody) for name in actions())


def test_roles_add_up(db: None) -> None:
    action = Action("people.try", "try it", {BUYER})
    assert action.allows(frozenset({FITTER, BUYER}))
    assert not action.allows(frozenset({FITTER}))
    assert action.allows(frozenset({OWNER}))


def test_a_refusal_says_who_may(people: dict[str, User]) -> None:
    with pytest.raises(PermissionDenied, match="change who works here and in which role you need one of .*: owner"):
        require(people["fitter"], "people.manage")


def test_guarding_a_page_by_an_unknown_action_fails_at_start() -> None:
    with pytest.raises(LookupError, match=r"people\.fly"):
        edits("people.fly")


def test_a_group_that_is_no_role_gives_nothing(db: None) -> None:
    person = make_person()
    person.groups.add(Group.objects.create(name="visitor"))
    assert not may(person, "people.own")
