"""The demo command: a believable workshop in an empty database, and hands off a real one."""

from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.test import Client

from shop.people.demo_world import PASSWORD, PEOPLE
from specs.models import Component
from tests.factories.people import make_person


def demo(*options: str) -> str:
    out = StringIO()
    call_command("demo", "--no-serve", *options, stdout=out)
    return out.getvalue()


def test_everybody_it_names_can_sign_in(db: None) -> None:
    said = demo()
    for name, first, last, role in PEOPLE:
        assert f"{first} {last}" in said
        response = Client().post("/people/sign-in/", {"username": name, "password": PASSWORD})
        assert response.status_code == 302, name
        assert [group.name for group in User.objects.get(username=name).groups.all()] == [role]


def test_a_second_run_changes_nothing(db: None) -> None:
    demo()
    before = Component.objects.count(), User.objects.count()
    assert "stays as it is" in demo()
    assert (Component.objects.count(), User.objects.count()) == before


def test_a_real_database_is_left_alone(db: None) -> None:
    make_person(username="real")
    with pytest.raises(CommandError, match="left alone"):
        demo()
    assert User.objects.count() == 1


def test_told_so_it_mixes_in_beside_real_people(db: None) -> None:
    make_person(username="real", password="her own words")
    demo("--into-existing")
    assert User.objects.get(username="real").check_password("her own words")
    assert User.objects.count() == len(PEOPLE) + 1


def test_a_real_person_with_a_name_of_the_demo_keeps_password_and_roles(db: None) -> None:
    make_person(username="hedda", password="her own words")
    with pytest.raises(CommandError, match="hedda"):
        demo("--into-existing")
    hedda = User.objects.get()
    assert hedda.check_password("her own words")
    assert not hedda.groups.exists()


def test_never_with_production_settings(db: None, settings: object) -> None:
    settings.PRODUCTION = True  # type: ignore[attr-defined]
    with pytest.raises(CommandError, match="production"):
        demo()
    assert not User.objects.exists()
