"""Who may open what: every address × method × role against the checked-in table in tests/access/.

A new address fails here until its two lines (GET and POST, sent empty) stand in tests/access/<area>.csv. The answers
are status numbers, or "sign-in" for a reader who is sent to the sign-in page.
"""

from collections import Counter
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client
from django.urls import NoReverseMatch, reverse

from tests.addresses import METHODS, READERS, Row, example, parts, table

PARTED = sorted(name for name, needed in parts().items() if needed)


def client_of(people: dict[str, User], reader: str, **options: Any) -> Client:
    client = Client(raise_request_exception=True, **options)
    if reader != "anonymous":
        client.force_login(people[reader])
    return client


def address_of(name: str, people: dict[str, User]) -> str:
    return reverse(name, kwargs=example(name, people) if name in PARTED else {})


def answer(client: Client, method: str, address: str) -> str:
    with transaction.atomic():
        response = client.generic(method, address, content_type="application/x-www-form-urlencoded")
        transaction.set_rollback(True)
    to_sign_in = response.status_code == 302 and response["Location"].startswith(reverse("people:sign-in"))
    return "sign-in" if to_sign_in else str(response.status_code)


def test_the_table_names_every_address_under_both_methods_and_no_other() -> None:
    listed = Counter((row.name, row.method) for row in table())
    wanted = Counter((name, method) for name in parts() for method in METHODS)
    assert sorted((wanted - listed).elements()) == [], "add these to tests/access/<area>.csv"
    assert sorted((listed - wanted).elements()) == [], "these are gone: take them out of tests/access"


@pytest.mark.parametrize("row", table(), ids=lambda row: f"{row.name}-{row.method}")
def test_each_reader_gets_the_answer_of_the_table(row: Row, people: dict[str, User]) -> None:
    address = address_of(row.name, people)
    got = {reader: answer(client_of(people, reader), row.method, address) for reader in READERS}
    assert got == row.answers, address


@pytest.mark.parametrize("name", sorted(parts()))
def test_no_address_takes_a_form_without_its_mark(name: str, people: dict[str, User]) -> None:
    address = address_of(name, people)
    assert answer(client_of(people, "owner", enforce_csrf_checks=True), "POST", address) == "403"


@pytest.mark.parametrize("unknown", [0, 999_999_999, 10**30, "no-such-thing"])
@pytest.mark.parametrize("name", PARTED)
def test_an_unknown_part_gives_a_plain_404(name: str, unknown: Any, people: dict[str, User]) -> None:
    for part in parts()[name]:
        known = example(name, people) if len(parts()[name]) > 1 else {}
        try:
            address = reverse(name, kwargs={**known, part: unknown})
        except NoReverseMatch:
            continue
        assert answer(client_of(people, "owner"), "GET", address) in ("404", "405"), address
