"""A list's questions are put into SQL once, and what is asked in words that were kept is answered the same."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from difflib import unified_diff

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.utils import timezone

from shop.vehicles.models import Customer
from specs import row_queries
from specs.row_queries import OfKeys, PutTogether, Words
from tests.benchmarks.lists import LISTS
from tests.factories.orders import make_order
from tests.factories.vehicles import make_customer

INSISTING = {"Cache-Control": "no-cache"}
ORDERS = "/orders/"
_NEVER_TWICE = re.compile(r'name="(?:csrfmiddlewaretoken|once)" value="[^"]*"')
_SORTS = re.compile(r'<th role="columnheader"[^>]*><a href="(\?sort=[^"]*)"')


def shown(client: Client, address: str) -> str:
    answer = client.get(address, headers=INSISTING)
    assert answer.status_code == 200, address
    return _NEVER_TWICE.sub("", answer.content.decode())


@contextmanager
def no_words_kept(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    with monkeypatch.context() as patched:
        patched.setattr(PutTogether, "own", lambda self: self._rows.all())
        yield


@pytest.fixture
def worded(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Every question that was put into SQL to be kept, in order."""
    put: list[str] = []

    class Told(Words):
        def __init__(self, rows: object) -> None:
            super().__init__(rows)
            put.append(self.sql)

    monkeypatch.setattr(row_queries, "Words", Told)
    return put


@pytest.mark.django_db
def test_words_of_another_order_or_part_are_others(owner: Client, worded: list[str]) -> None:
    for number in range(3):
        make_order(number=f"B-{number}")
    for way in ("", "?sort=number", "?sort=-number", "?rows=200", "?show=deleted"):
        shown(owner, ORDERS + way)
        worded.clear()
        before = shown(owner, ORDERS + way)
        assert not worded, "it is asked again in the same words"
        assert shown(owner, ORDERS + way) == before
    up, down = (re.findall(r"B-\d", shown(owner, f"{ORDERS}?sort={sort}")) for sort in ("number", "-number"))
    assert list(dict.fromkeys(up)) == ["B-0", "B-1", "B-2"]
    assert list(dict.fromkeys(down)) == ["B-2", "B-1", "B-0"]


@pytest.mark.django_db
def test_what_was_added_or_deleted_is_told_in_the_same_words(owner: Client) -> None:
    first = make_customer(name="Maren Holt")
    assert "Maren Holt" in shown(owner, "/vehicles/customers/")
    make_customer(name="Ivo Brask")
    first.delete()
    page = shown(owner, "/vehicles/customers/")
    assert "Ivo Brask" in page
    assert "Maren Holt" not in page


def test_a_question_in_which_a_key_could_take_another_numbers_place_is_refused() -> None:
    below = OfKeys(lambda keys: Customer.objects.exclude(pk=-1).filter(pk__in=keys))
    with pytest.raises(ValueError, match="by themselves"):
        below([7])


@pytest.mark.django_db
@pytest.mark.usefixtures("demo")
def test_every_list_says_in_kept_words_what_it_says_without(monkeypatch: pytest.MonkeyPatch) -> None:
    now = timezone.now()
    monkeypatch.setattr(timezone, "now", lambda: now)  # pages tell the time
    owner = Client()
    owner.force_login(User.objects.get(username="hedda"))
    for address in LISTS.values():
        bare = address.partition("?")[0]
        sorts = [f"{bare}{query}" for query in _SORTS.findall(shown(owner, bare))[-1:]]
        ways = (address, f"{bare}?show=deleted", f"{bare}?page=last", *sorts)
        for way in ways:
            first, again = shown(owner, way), shown(owner, way)
            with no_words_kept(monkeypatch):
                made = shown(owner, way)
            differs = "\n".join(unified_diff(made.splitlines(), first.splitlines(), lineterm="", n=0))
            assert not differs, f"{way}\n{differs}"
            assert first == again, way
