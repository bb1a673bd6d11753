"""Coming in and going out: one wrong word is told plainly, many are stopped for a while."""

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from tests.factories.people import make_person
from tests.pages import collapsed

PASSWORD = "a long enough word"


@pytest.fixture
def ama(db: None) -> User:
    return make_person(username="ama", password=PASSWORD, roles=["fitter"])


def attempt(client: Client, password: str, name: str = "ama", place: str = "10.0.0.5") -> int:
    sent = {"username": name, "password": password}
    return client.post(reverse("people:sign-in"), sent, REMOTE_ADDR=place).status_code


def test_nobody_is_sent_to_a_strange_site_after_signing_in(client: Client, ama: User) -> None:
    sent = {"username": "ama", "password": PASSWORD, "next": "https://elsewhere.example/"}
    assert client.post(reverse("people:sign-in"), sent)["Location"] == "/"


@pytest.mark.parametrize("name", ["ama", "nobody-by-that-name"])
def test_wrong_words_are_told_alike_whether_the_name_exists_or_not(client: Client, ama: User, name: str) -> None:
    page = client.post(reverse("people:sign-in"), {"username": name, "password": "wrong"}).content.decode()
    assert "This name and this password do not go together." in page
    assert f'value="{name}"' in page
    assert "<title>Error: Sign in</title>" in page
    assert 'value="wrong"' not in page


def test_after_five_wrong_words_the_name_is_shut_from_that_place(client: Client, ama: User) -> None:
    answers = [attempt(client, "wrong") for _ in range(5)]
    assert answers == [200, 200, 200, 200, 429]
    assert attempt(client, PASSWORD) == 429
    page = client.post(reverse("people:sign-in"), {"username": "ama", "password": "x"}, REMOTE_ADDR="10.0.0.5")
    assert "shut here for 15 minutes" in collapsed(page)


def test_the_rest_of_the_shop_still_comes_in_from_the_same_place(client: Client, ama: User) -> None:
    make_person(username="wren", password=PASSWORD)
    for _ in range(6):
        attempt(client, "wrong")
    assert attempt(Client(), PASSWORD, name="wren") == 302


def test_the_name_still_comes_in_from_elsewhere(client: Client, ama: User) -> None:
    for _ in range(6):
        attempt(client, "wrong")
    assert attempt(Client(), PASSWORD, place="10.0.0.6") == 302


def test_signing_in_makes_up_for_earlier_slips(client: Client, ama: User) -> None:
    for _ in range(4):
        attempt(client, "wrong")
    assert attempt(client, PASSWORD) == 302
    assert attempt(Client(), "wrong") == 200


def test_who_has_left_does_not_come_in(client: Client, ama: User) -> None:
    ama.is_active = False
    ama.save()
    assert attempt(client, PASSWORD) == 200
    assert client.get("/").status_code == 302


@pytest.mark.parametrize("odd", ["a\0b", "x" * 10_000, "‮ama", "ama' OR 1=1 --"])
def test_odd_names_are_answered_plainly(client: Client, ama: User, odd: str) -> None:
    assert attempt(client, "wrong", name=odd) in (200, 400)
