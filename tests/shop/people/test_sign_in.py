"""Coming in and going out: one wrong word is told plainly, many are stopped for a while."""

from datetime import timedelta
from io import StringIO
from typing import Any

import pytest
from axes.models import AccessAttempt
from django.contrib.auth.models import User
from django.core.management import call_command
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.people.tries import COOKIE
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
    assert 0 < int(page["Retry-After"]) <= 15 * 60


def test_trying_on_while_shut_does_not_put_the_opening_off(client: Client, ama: User) -> None:
    for _ in range(5):
        attempt(client, "wrong")
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=14, seconds=50))
    page = client.post(reverse("people:sign-in"), {"username": "ama", "password": "x"}, REMOTE_ADDR="10.0.0.5")
    assert page.status_code == 429
    assert int(page["Retry-After"]) <= 10
    AccessAttempt.objects.update(attempt_time=timezone.now() - timedelta(minutes=15, seconds=1))
    assert attempt(client, PASSWORD) == 302


def known_browser(name: str, place: str = "10.0.0.5") -> Client:
    """A browser on which the name has signed in before, and is signed out."""
    browser = Client()
    assert attempt(browser, PASSWORD, name=name, place=place) == 302
    browser.post(reverse("people:sign-out"))
    return browser


def test_one_who_tries_wrongly_shuts_out_neither_five_people_nor_the_owner(client: Client, ama: User) -> None:
    names = ["wren", "tibor", "jonas", "ida", "hedda"]
    for name in names:
        make_person(username=name, password=PASSWORD, roles=["owner"] if name == "hedda" else ["fitter"])
    browsers = {name: known_browser(name) for name in ["ama", *names]}
    tried = [attempt(client, "wrong", name=name) for name in names for _ in range(10)]
    assert tried.count(429) >= 20
    assert {name: attempt(browser, PASSWORD, name=name) for name, browser in browsers.items()} == dict.fromkeys(
        ["ama", *names], 302
    )


def test_trying_many_names_from_one_place_is_stopped(client: Client, ama: User) -> None:
    answers = [attempt(client, "Summer2026!", name=f"name{number}") for number in range(40)]
    assert answers[:29] == [200] * 29
    assert set(answers[29:]) == {429}
    assert attempt(Client(), PASSWORD) == 429  # a new browser at that place waits as well
    assert attempt(Client(), PASSWORD, place="10.0.0.6") == 302


def test_one_name_tried_from_many_places_is_shut_but_not_to_its_own_browser(client: Client, ama: User) -> None:
    mine = known_browser("ama")
    answers = [attempt(client, "wrong", place=f"10.1.{number}.7") for number in range(51)]
    assert answers[48] == 200
    assert answers[50] == 429
    assert attempt(mine, PASSWORD) == 302


def test_a_known_browser_is_no_way_to_guess(ama: User) -> None:
    browser = known_browser("ama")
    assert [attempt(browser, "wrong") for _ in range(6)][4:] == [429, 429]
    assert attempt(browser, PASSWORD) == 429


@pytest.mark.parametrize("forged", ["x", "W10:abc", ""])
def test_a_forged_mark_of_a_browser_is_worth_nothing(client: Client, ama: User, forged: str) -> None:
    client.cookies[COOKIE] = forged
    assert [attempt(client, "wrong") for _ in range(5)][-1] == 429


def test_the_mark_of_one_name_does_not_serve_another(ama: User) -> None:
    make_person(username="wren", password=PASSWORD)
    of_wren = known_browser("wren")
    for _ in range(5):
        attempt(Client(), "wrong")
    assert attempt(of_wren, PASSWORD) == 429
    assert attempt(of_wren, PASSWORD, name="wren") == 302


def test_what_a_stranger_claims_to_be_forwarded_for_is_not_believed(client: Client, ama: User) -> None:
    def claiming(number: int) -> int:
        sent = {"username": "ama", "password": "wrong"}
        more = {"REMOTE_ADDR": "10.0.0.5", "HTTP_X_FORWARDED_FOR": f"10.9.9.{number}"}
        return client.post(reverse("people:sign-in"), sent, **more).status_code

    assert [claiming(number) for number in range(5)][-1] == 429


def test_behind_a_proxy_its_own_word_tells_who_asks(client: Client, ama: User, settings: Any) -> None:
    settings.SHOP_PROXIES = ["127.0.0.1"]

    def through(told: str, password: str) -> int:
        sent = {"username": "ama", "password": password}
        more = {"REMOTE_ADDR": "127.0.0.1", "HTTP_X_FORWARDED_FOR": told}
        return client.post(reverse("people:sign-in"), sent, **more).status_code

    # What stands before the last comma is what the client itself claimed.
    assert [through(f"10.9.9.{number}, 10.0.0.5", "wrong") for number in range(5)][-1] == 429
    assert through("10.0.0.6", PASSWORD) == 302


def test_the_owner_at_the_box_opens_it_at_once(client: Client, ama: User) -> None:
    for _ in range(5):
        attempt(client, "wrong")
    said = StringIO()
    call_command("unlock", "ama", stdout=said)
    assert said.getvalue() == "Open again: ama.\n"
    assert attempt(client, PASSWORD) == 302
    call_command("unlock", "nobody", stdout=said)
    assert said.getvalue().endswith("Nothing was shut there.\n")


def test_opening_one_name_says_which_place_stays_shut(client: Client, ama: User) -> None:
    for number in range(35):
        attempt(client, "wrong", name=f"name{number}")
    said = StringIO()
    call_command("unlock", "name1", stdout=said)
    AccessAttempt.objects.filter(username="name2").update(failures_since_start=5)
    call_command("unlock", "name3", stdout=said)
    assert "unlock --address 10.0.0.5" in said.getvalue()
    call_command("unlock", stdout=said)
    assert attempt(client, PASSWORD) == 302


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
