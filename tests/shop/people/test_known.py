"""Who asks is read once while nobody writes, and anew as soon as anything about them is another."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from django.contrib.auth.models import Group, User
from django.contrib.sessions.models import Session
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.base import unchanged
from shop.people.models import Preferences, preferences_of
from tests.factories.people import make_person

pytestmark = pytest.mark.django_db(transaction=True)

OWNERS = "/people/"
"""A page that only an owner sees."""


@pytest.fixture
def person() -> User:
    return make_person(username="hedda", roles=["owner"])


@pytest.fixture
def browser(person: User) -> Client:
    client = Client(headers={"Cache-Control": "no-cache"})
    client.force_login(person)
    assert client.get(OWNERS).status_code == 200
    return client


def tables_read(browser: Client) -> list[str]:
    with CaptureQueriesContext(connection) as captured:
        assert browser.get(OWNERS).status_code == 200
    names = (Session, User.groups.through, Preferences)
    return [one._meta.db_table for one in names for query in captured if one._meta.db_table in query["sql"]]


def test_the_reader_is_not_read_again_while_nobody_writes(browser: Client) -> None:
    assert "django_session" not in tables_read(browser)
    assert tables_read(browser) == tables_read(browser)


def leave_role(person: User) -> None:
    person.groups.remove(Group.objects.get(name="owner"))


def leave(person: User) -> None:
    User.objects.filter(pk=person.pk).update(is_active=False)


def change_password(person: User) -> None:
    person.set_password("another one of hers")
    person.save()


def end_sessions(person: User) -> None:
    Session.objects.all().delete()


def let_sessions_expire(person: User) -> None:
    Session.objects.update(expire_date=timezone.now() - timedelta(seconds=1))


@pytest.mark.parametrize(
    ("change", "answer"),
    [(leave_role, 403), (leave, 302), (change_password, 302), (end_sessions, 302), (let_sessions_expire, 302)],
    ids=lambda one: getattr(one, "__name__", ""),
)
def test_who_may_no_longer_is_refused_at_once(
    browser: Client, person: User, change: Callable[[User], None], answer: int
) -> None:
    change(person)
    assert browser.get(OWNERS).status_code == answer


def test_a_session_ends_at_its_time_without_anybody_writing(browser: Client, monkeypatch) -> None:
    late = timezone.now() + timedelta(days=400)
    monkeypatch.setattr(timezone, "now", lambda: late)
    assert browser.get(OWNERS).status_code == 302


def test_another_name_and_another_choice_show_on_the_next_page(browser: Client, person: User) -> None:
    chosen = preferences_of(person)
    for theme in ("dark", "light"):
        chosen.theme = theme
        chosen.save()
        assert f'data-theme="{theme}"' in browser.get(OWNERS).content.decode()
    User.objects.filter(pk=person.pk).update(first_name="Hedda", last_name="Renamed")
    assert "<summary>Hedda Renamed</summary>" in browser.get(OWNERS).content.decode()


def test_what_one_request_does_to_its_reader_no_other_sees(browser: Client, person: User) -> None:
    one, other = (browser.get(OWNERS).wsgi_request for _ in range(2))
    assert one.user == other.user == person
    one.user.first_name, preferences_of(one.user).theme = "Nobody", "dark"
    one.session["held"] = ["once"]
    assert (other.user.first_name, preferences_of(other.user).theme) == (person.first_name, "auto")
    third = browser.get(OWNERS).wsgi_request
    assert (third.user.first_name, preferences_of(third.user).theme) == (person.first_name, "auto")
    assert "held" not in third.session
    assert third.user.last_login == User.objects.get(pk=person.pk).last_login


def test_a_session_that_nobody_has_leaves_nothing_behind() -> None:
    client = Client()
    client.cookies["sessionid"] = "of-nobody"
    assert client.get(OWNERS).status_code == 302
    assert not any("of-nobody" in str(key) for key in unchanged._KEPT._traces)
