"""Who may open what: every address, method and role is answered as its view declares.

The expected answer follows from the declaration (`shop.base.access`); only what answers otherwise stands in a table
here. The records behind the addresses are made once for the file and every request is rolled back.
"""

import os
import random
from dataclasses import dataclass
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client
from django.urls import NoReverseMatch, reverse

from shop.base.roles import ROLES, may
from tests.addresses import Address, addresses, examples
from tests.conftest import browser_with, session_keys
from tests.factories.people import make_people

pytestmark = pytest.mark.django_db

ADDRESSES = addresses()
EVERY = pytest.mark.parametrize("address", ADDRESSES.values(), ids=list(ADDRESSES))
PARTED = [address for address in ADDRESSES.values() if address.parts]
READERS = ("anonymous", *ROLES)
AT_THE_GATE = os.environ.get("CI") == "true"
LET_IN = ("200", "302", "405")

# Answers that do not follow from the declaration, each with the reason.
WITHOUT_DECLARATION = {"people:sign-in", "people:sign-out", "people:own-password"}  # Django's own views
EXCEPTIONS = {
    ("home:icon", "GET", "anonymous"): "302",  # browsers ask for it before anybody signs in
    ("home:icon", "POST", "anonymous"): "405",
    # A monitor asks without signing in; on a test's box nothing was copied yet, so a person should look.
    **{("serving:health", "GET", reader): "503" for reader in READERS},
    ("serving:health", "POST", "anonymous"): "405",
    ("planning:calendar", "GET", "anonymous"): "200",  # its secret is the key
    ("planning:calendar", "POST", "anonymous"): "405",
    ("people:sign-in", "GET", "anonymous"): "200",
    ("people:sign-in", "POST", "anonymous"): "200",
    ("people:person-access", "POST", "owner"): "400",  # no button was named
    **{("home:long-work", method, role): "404" for method in ("GET", "POST") for role in ROLES if role != "owner"},
    ("home:long-work", "POST", "owner"): "302",
    **{("home:bulk-undo", "POST", role): "403" for role in ("machinist", "buyer")},  # each act names its own action
    **{("home:bulk-new", method, role): "302" for method in ("GET", "POST") for role in ROLES},  # nothing is ticked
    ("demo:sample-data", "POST", "owner"): "400",  # neither in nor out
    **{("home:interrupted", "POST", role): "302" for role in ROLES},
    **{("home:interrupted", "GET", role): "302" for role in ROLES if role != "owner"},  # another person's
    ("home:undo", "POST", "machinist"): "403",  # the kind of record decides
    # Sent without its token: the page again, with the note that was typed.
    **{("worksheets:worksheet-accept", "POST", role): "200" for role in ("owner", "fitter", "machinist")},
    **{("home:icon", "GET", role): "302" for role in ROLES},
    **{("people:sign-in", method, role): "302" for method in ("GET", "POST") for role in ROLES},
    **{("people:sign-out", "POST", role): "sign-in" for role in ROLES},
    **{("people:sign-out", "GET", role): "405" for role in ROLES},
    **{("calculate:calculation", "POST", role): "302" for role in ROLES},  # lands on an address with the inputs
    **{
        (f"jobs:hours-{verb}", method, role): "403"  # only the owner changes another person's hours
        for verb in ("stop", "correct")
        for method in ("GET", "POST")
        for role in ROLES
        if role != "owner"
    },
    **{("orders:document", "GET", role): "403" for role in ("fitter", "machinist")},  # an invoice, which names prices
    **{("planning:calendar-link-new", "POST", role): "200" for role in ROLES},  # shows the secret, this once
    ("jobs:torque-doubt", "GET", "owner"): "302",  # nothing doubts this torque
    # A plate that nobody accepted gives out no table of holes.
    **{("print:plate-file", "GET", role): "409" for role in ("owner", "fitter", "machinist")},
}


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@dataclass(frozen=True)
class World:
    """One person a role, each with a session, and the parts of an address of a record for every address."""

    people: dict[str, User]
    values: dict[str, dict[str, Any]]
    sessions: dict[str, str]

    def at(self, address: Address) -> str:
        if address.parts and address.name not in self.values:
            room = address.name.partition(":")[0]
            raise LookupError(f"tests/access/{room}.py: examples() gives no values for {address.name}")
        return reverse(address.name, kwargs=self.values.get(address.name, {}))

    def browser(self, reader: str, **options: Any) -> Client:
        return Client(**options) if reader == "anonymous" else browser_with(self.sessions[reader], **options)


@pytest.fixture(scope="module")
def world(files_of_the_file: None, until_the_file_ends: None) -> World:
    """Made once for all tests of this file."""
    people = make_people()
    return World(people, examples(people), session_keys(people))


def answer(client: Client, method: str, address: str) -> str:
    with transaction.atomic():
        response = client.generic(method, address, content_type="application/x-www-form-urlencoded")
        transaction.set_rollback(True)
    to_sign_in = response.status_code == 302 and response["Location"].startswith(reverse("people:sign-in"))
    return "sign-in" if to_sign_in else str(response.status_code)


def expected(address: Address, method: str, reader: str, people: dict[str, User]) -> str:
    if exception := EXCEPTIONS.get((address.name, method, reader)):
        return exception
    if reader == "anonymous":
        return "sign-in"
    if method not in address.methods:
        return "405"
    if address.action and not may(people[reader], address.action):
        return "403"
    only_a_button = "GET" not in address.methods
    return "302" if only_a_button else "200"


@pytest.mark.parametrize("method", ["GET", "POST", "PUT"])
@EVERY
def test_each_reader_gets_the_answer_that_the_view_declares(address: Address, method: str, world: World) -> None:
    if method == "PUT" and address.name in WITHOUT_DECLARATION:
        pytest.skip("one of Django's own views")
    at = world.at(address)
    wanted = {reader: expected(address, method, reader, world.people) for reader in READERS}
    if method == "PUT" and address.name in ("home:icon", "planning:calendar", "serving:health"):
        wanted["anonymous"] = "405"
    asking = asked_by(wanted, address, method)
    got = {reader: answer(world.browser(reader), method, at) for reader in asking}
    assert got == {reader: wanted[reader] for reader in asking}, at


def asked_by(wanted: dict[str, str], address: Address, method: str) -> list[str]:
    """At a desk every reader. At the gate whoever is refused or an exception, and one of those who are answered alike.

    As fitter and as machinist every page is opened in test_money_seen.py, as owner in test_walk.py.
    """
    alike = [role for role in ROLES if wanted[role] in LET_IN and (address.name, method, role) not in EXCEPTIONS]
    drawn = random.Random(f"{address.name} {method}").sample(alike, min(1, len(alike)))
    return [reader for reader in READERS if not AT_THE_GATE or reader not in alike or reader in drawn]


@EVERY
def test_no_address_takes_a_form_without_its_token(address: Address, world: World) -> None:
    assert answer(world.browser("owner", enforce_csrf_checks=True), "POST", world.at(address)) == "403"


@pytest.mark.parametrize("unknown", [0, 999_999_999, 10**30, "no-such-thing"])
@pytest.mark.parametrize("address", PARTED, ids=[address.name for address in PARTED])
def test_an_unknown_part_gives_a_plain_404(address: Address, unknown: Any, world: World) -> None:
    for part in address.parts:
        known = world.values[address.name] if len(address.parts) > 1 else {}
        try:
            at = reverse(address.name, kwargs={**known, part: unknown})
        except NoReverseMatch:
            continue
        assert answer(world.browser("owner"), "GET", at) in ("404", "405"), at


def test_every_view_declares_by_which_methods_it_answers() -> None:
    undeclared = {name for name, address in ADDRESSES.items() if not hasattr(address.view, "methods")}
    assert undeclared == WITHOUT_DECLARATION


def test_the_exceptions_are_about_addresses_that_are_there() -> None:
    assert {name for name, _, _ in EXCEPTIONS} <= ADDRESSES.keys()
