"""A list narrowed down by words that very many rows hold shows the same rows as by the index, in the same order."""

import html
import random
import re
from collections.abc import Iterator

import pytest
from django.test import Client
from django.utils import timezone

from shop.base import common_words, lists, paging, search_index, search_results
from shop.base.search_results import holding
from shop.vehicles.models import Customer
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.django_db

ROWS = 120


@pytest.fixture(autouse=True)
def few_are_many(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(lists, "PER_PAGE", 5)
    for module, name, number in (
        (common_words, "COUNTED", 10),
        (paging, "COUNTED", 10),
        (search_results, "SAMPLE", 14),
        (common_words, "NEXT", 30),
    ):
        monkeypatch.setattr(module, name, number)


def make(kinds: list[str]) -> None:
    """A customer each, in the order of the list, with a word of its kind; every seventh is deleted."""
    Customer.objects.bulk_create(
        Customer(
            name=f"{number:03} {kind}",
            deleted_at=timezone.now() if number % 7 == 3 else None,
            deleted_reason="twice" if number % 7 == 3 else "",
        )
        for number, kind in enumerate(kinds)
    )
    search_index.keep_all(Customer.objects.all())


def wanted(word: str) -> list[str]:
    return [name for name in Customer.objects.active().order_by("name").values_list("name", flat=True) if word in name]


def get(client: Client, query: str) -> str:
    response = client.get(f"/vehicles/customers/{query}")
    assert response.status_code == 200
    return collapsed(response)


def names(page: str) -> list[str]:
    return re.findall(r">(\d{3} \w+)</a>", page)


def turned(client: Client, page: str, rel: str) -> Iterator[str]:
    """This page and all that one reaches from it by one link."""
    yield page
    while link := re.search(rf'rel="{rel}" href="([^"]*)"', page):
        yield (page := get(client, html.unescape(link[1])))


def drawn(share: float, seed: int) -> list[str]:
    """Kinds at random, the rarer one in runs."""
    chance, kinds = random.Random(seed), list[str]()
    while len(kinds) < ROWS:
        kinds += ["alder" if chance.random() < share else "birch"] * chance.randrange(1, 20)
    return kinds[:ROWS]


@pytest.mark.parametrize("share", [1.0, 0.7, 0.3])
@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("sort", ["", "&sort=-name"])
def test_a_walk_through_the_pages_shows_every_row_that_holds_it_once(
    fitter: Client, share: float, seed: int, sort: str
) -> None:
    make(drawn(share, seed))
    rows = wanted("alder")[:: -1 if sort else 1]
    first = get(fitter, f"?words=alder{sort}")
    pages = list(turned(fitter, first, "next"))
    assert [name for page in pages for name in names(page)] == rows
    back = [names(page) for page in turned(fitter, pages[-1], "prev")]
    assert [name for page in reversed(back) for name in page][-len(rows) :] == rows
    assert ("of 10+ rows" in first) is (len(rows) > 10)


def test_the_last_page_holds_the_last_rows(fitter: Client) -> None:
    make(["alder"] * 60 + ["birch"] * 60)
    assert names(get(fitter, "?words=alder&page=last")) == wanted("alder")[-5:]
    assert names(get(fitter, "?words=birch&page=last")) == wanted("birch")[-5:]


def test_each_word_of_several_is_held(fitter: Client) -> None:
    make(["alderwood"] * 50 + ["birchwood"] * 50 + ["alder"] * 20)
    assert names(get(fitter, "?words=wood+birch")) == wanted("birchwood")[:5]


def test_of_what_was_deleted_as_well(fitter: Client) -> None:
    make(["alder"] * ROWS)
    shown = names(get(fitter, "?words=alder&show=deleted"))
    deleted = Customer.objects.exclude(deleted_at=None).order_by("name").values_list("name", flat=True)
    assert shown == list(deleted[:5])


def test_a_word_of_few_rows_is_counted_whole(fitter: Client) -> None:
    make(["birch"] * 100 + ["alder"] * 14)
    rows = wanted("alder")
    assert len(rows) > 10
    assert f"1 to 5 of {len(rows)} rows" in get(fitter, "?words=alder")


def test_the_index_is_asked_for_no_more_than_a_sample_of_a_common_word(fitter: Client) -> None:
    make(["alder"] * ROWS)
    found, words = holding(Customer.objects.active(), "alder")
    assert words is not None
    assert len(words.some) == 15
    assert found.count() == len(wanted("alder"))
    asked = queries_of(fitter, "/vehicles/customers/?words=alder")
    of_the_index = [sql for sql in asked if "base_searchtrigrams" in sql or " LIKE " in sql]
    assert ["LIMIT" in sql for sql in of_the_index] == [True]
