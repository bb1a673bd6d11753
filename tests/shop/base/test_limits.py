"""Who is not known sends little; nobody is believed who says on whose behalf they ask."""

from typing import Any

import pytest
from django.contrib.sessions.models import Session
from django.test import Client, RequestFactory
from django.utils import timezone

from shop.base import middleware
from shop.base.middleware import client_address


class Untouched:
    """A body that must not be read."""

    def read(self, *args: Any) -> bytes:
        raise AssertionError("the body was read")

    readline = read


def send(client: Client, megabytes: float, address: str = "/people/sign-in/") -> int:
    more = {"CONTENT_LENGTH": str(int(megabytes * 2**20)), "wsgi.input": Untouched(), "CONTENT_TYPE": "text/plain"}
    return client.post(address, **more).status_code


def test_a_hundred_megabytes_to_the_sign_in_page_are_refused_unread(client: Client, db: None) -> None:
    assert send(client, 100) == 413
    assert send(client, 0.1) == 413


def test_a_made_up_session_is_no_session(client: Client, db: None) -> None:
    client.cookies["sessionid"] = "x" * 32
    assert send(client, 1) == 413


def test_who_is_signed_in_sends_photographs_but_no_films(fitter: Client) -> None:
    assert send(fitter, 61, "/") == 413
    assert send(fitter, 59, "/") == 405  # taken by the limit, refused by the page


def test_whose_session_ended_meanwhile_may_still_send_a_form_but_no_files(fitter: Client) -> None:
    Session.objects.update(expire_date=timezone.now())
    kept = fitter.post("/vehicles/customers/new/", {"name": "Ida", "notes": "n" * 900_000})
    assert kept.status_code == 302
    assert "interrupted" in kept["Location"]
    assert send(fitter, 5, "/") == 413


def test_the_page_says_how_much_is_taken(fitter: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(middleware, "SIGNED_IN", 2**20)
    page = fitter.post("/", CONTENT_LENGTH=str(2 * 2**20)).content.decode()
    assert "Too much at once" in page


@pytest.mark.parametrize(("address", "known"), [("10.0.0.5", "10.0.0.5"), ("", None), ("unix:", None)])
def test_what_is_no_address_is_none(address: str, known: str | None) -> None:
    assert client_address(RequestFactory().get("/", REMOTE_ADDR=address)) == known
