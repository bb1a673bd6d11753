"""The demo's command keeps its hands off a real shop."""

from io import StringIO

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from shop.demo import making
from shop.demo.world import PEOPLE
from specs.models import Component
from tests.factories.people import make_person


def run_demo(*options: str) -> str:
    out = StringIO()
    call_command("demo", "--no-serve", *options, stdout=out)
    return out.getvalue()


def test_into_an_existing_shop_it_comes_beside_the_real_person(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """One part is enough: each is made of the world's own people."""
    make_person(username="real", password="her own words")
    monkeypatch.setattr(making, "PARTS", ("components",))
    run_demo("--into-existing")
    assert User.objects.get(username="real").check_password("her own words")
    assert User.objects.count() == len(PEOPLE) + 1
    assert Component.objects.exists()


def test_a_real_database_is_left_alone(db: None) -> None:
    make_person(username="real")
    with pytest.raises(CommandError, match="left alone"):
        run_demo()
    assert User.objects.count() == 1


def test_a_real_person_with_a_name_of_the_demo_keeps_password_and_roles(db: None) -> None:
    make_person(username="hedda", password="her own words")
    with pytest.raises(CommandError, match="hedda"):
        run_demo("--into-existing")
    hedda = User.objects.get()
    assert hedda.check_password("her own words")
    assert not hedda.groups.exists()


def test_never_with_production_settings(db: None, settings: object) -> None:
    settings.PRODUCTION = True  # type: ignore[attr-defined]
    with pytest.raises(CommandError, match="production"):
        run_demo()
    assert not User.objects.exists()
