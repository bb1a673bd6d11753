"""Odd addresses and forms are answered with a plain page, never with a broken one."""

import os
import random

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from tests.addresses import addresses

# Signing out ends the test's own session; health answers 503 on a box where nothing was copied yet.
ELSEWHERE = {"people:sign-out", "serving:health"}
PLAIN = sorted(name for name, found in addresses().items() if not found.parts and name not in ELSEWHERE)
ODD = [
    "?page=99999999999999999999",
    "?page=-1&sort=-",
    "?as=csv&page=x",
    "?sort=" + "a" * 500,
    "?q=%F0%9F%94%A9%27%22<",
]


@pytest.mark.parametrize("name", PLAIN)
def test_odd_queries_never_break_a_page(name: str, owner: Client) -> None:
    for query in random.Random(name).sample(ODD, 1) if os.environ.get("CI") == "true" else ODD:
        response = owner.get(reverse(name) + query)
        assert response.status_code in (200, 302, 400, 404, 405), query
    assert owner.get(reverse(name) + "?x=%00").status_code == 400
    assert owner.post(reverse(name), {"x": "a\0b"}).status_code == 400


@pytest.mark.parametrize(
    "address", ["/nothing/here/", "/orders/" + "9" * 400 + "/", "/%F0%9F/", "/people/../../etc/passwd"]
)
def test_an_unknown_address_gives_a_plain_404(address: str, owner: Client) -> None:
    response = owner.get(address)
    assert response.status_code == 404
    assert "Page not found" in response.content.decode()


def test_a_stranger_sees_the_404_without_the_menu(client: Client, db: None) -> None:
    page = client.get("/nothing/here/").content.decode()
    assert "Page not found" in page
    assert 'aria-label="Main"' not in page


def test_a_refused_page_says_which_role_it_needs(fitter: Client, people: dict[str, User]) -> None:
    response = fitter.get("/people/")
    assert response.status_code == 403
    assert "you need one of these roles: owner" in response.content.decode()


def test_a_form_without_its_mark_is_explained(people: dict[str, User]) -> None:
    client = Client(enforce_csrf_checks=True)
    client.force_login(people["fitter"])
    response = client.post("/people/preferences/", {})
    assert response.status_code == 403
    assert "This page was open too long" in response.content.decode()


def test_a_strange_host_is_refused_plainly(client: Client, db: None) -> None:
    response = client.get("/", headers={"host": "elsewhere.example"})
    assert response.status_code == 400
    assert "That could not be read" in response.content.decode()


def test_a_broken_page_keeps_its_trace_to_itself(people: dict[str, User], monkeypatch: pytest.MonkeyPatch) -> None:
    def breaks(*args: object) -> None:
        raise RuntimeError("a secret of the machine")

    monkeypatch.setattr("shop.home.views.today.panels", breaks)
    client = Client(raise_request_exception=False)
    client.force_login(people["fitter"])
    response = client.get("/")
    page = response.content.decode()
    assert response.status_code == 500
    assert "Something broke here" in page
    assert "secret" not in page


def test_every_page_carries_a_strict_policy(fitter: Client) -> None:
    policy = fitter.get("/")["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy
