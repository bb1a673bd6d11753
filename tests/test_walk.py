"""No page of any record of the demo breaks, and no form, however it is sent (`tests.walk`)."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import transaction
from django.test import override_settings
from django.urls import reverse

from tests.addresses import Address
from tests.walk import ADDRESSES, EVERYTHING, TOO_LARGE, Walk, field_names

pytestmark = [pytest.mark.django_db, pytest.mark.xdist_group("walk")]

EVERY = pytest.mark.parametrize("address", ADDRESSES, ids=[address.name for address in ADDRESSES])
PLAIN = [address for address in ADDRESSES if not address.parts and "GET" in address.methods]
LISTS = pytest.mark.parametrize("address", PLAIN, ids=[address.name for address in PLAIN])


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with override_settings(MEDIA_ROOT=tmp_path_factory.mktemp("kept-files")):
        yield


@pytest.fixture(scope="module")
def walk(files_of_the_test: None, django_db_setup: None, django_db_blocker: Any) -> Iterator[Walk]:
    with django_db_blocker.unblock(), transaction.atomic():
        walk = Walk()
        yield walk
        transaction.set_rollback(True)
    if EVERYTHING:
        print(f"\n{walk.asked} requests to {len(ADDRESSES)} addresses; the slowest {walk.slowest}")


@EVERY
def test_no_page_of_any_record_breaks(address: Address, walk: Walk) -> None:
    if "GET" in address.methods:
        for parts in walk.drawn(address):
            walk.send("get", reverse(address.name, kwargs=parts))


@EVERY
def test_no_form_breaks_however_it_is_sent(address: Address, walk: Walk) -> None:
    for parts in walk.drawn(address)[:3] if "POST" in address.methods else []:
        at = reverse(address.name, kwargs=parts)
        walk.send_every_form(at, walk.send("get", at))


@LISTS
def test_no_query_breaks_on_numbers_past_what_a_database_holds(address: Address, walk: Walk) -> None:
    at = reverse(address.name)
    names = [*field_names(walk.send("get", at)), "page", "sort", "as"]
    for value in (TOO_LARGE, f"-{TOO_LARGE}", "9" * 400) if EVERYTHING else (TOO_LARGE,):
        walk.send("get", at, dict.fromkeys(names, value))
    walk.send("get", at, dict.fromkeys(names, "a\0b"))
    assert walk.status == 400


@EVERY
def test_a_verb_that_an_address_does_not_take_is_answered_with_a_page(address: Address, walk: Walk) -> None:
    parts = walk.drawn(address)
    for method in ("put", "delete", "patch") if parts and EVERYTHING else ("put",)[: len(parts)]:
        page = walk.send(method, reverse(address.name, kwargs=parts[0]))
        assert walk.status in (302, 405), method
        assert walk.status != 405 or "<main" in page, method
