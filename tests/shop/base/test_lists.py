"""A list page: the address holds its filters, sort and page; the CSV has the same rows."""

import csv
import gc
import re
import tracemalloc
from collections.abc import Callable

import pytest
from django.test import Client

from shop.base import paging, spreadsheets
from specs.models import Component
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.urls("tests.shop.base.pages_urls")


def make(*names: str, **changes: str) -> None:
    for name in names:
        Component.objects.create(**{"kind": "gearbox", "maker": "Teskel", "name": name, **changes})


def names(page: str) -> list[str]:
    return re.findall(r'<th role="rowheader" scope="row"><a href="[^"]*">([^<]*)</a>', page)


def get(client: Client, query: str = "") -> str:
    response = client.get(f"/test/{query}")
    assert response.status_code == 200
    return collapsed(response)


def test_rows_stand_in_the_order_of_the_address(fitter: Client) -> None:
    make("B", "A", "C")
    assert names(get(fitter)) == ["A", "B", "C"]
    assert names(get(fitter, "?sort=-name")) == ["C", "B", "A"]
    assert 'aria-sort="descending"' in get(fitter, "?sort=-name")


@pytest.mark.parametrize("query", ["", "?sort=kind", "?sort=-kind"])
def test_rows_alike_in_what_is_sorted_keep_one_order_over_the_pages(
    fitter: Client, query: str, django_assert_max_num_queries: Callable
) -> None:
    make(*(f"{number:03}" for number in range(120)))
    with django_assert_max_num_queries(100) as asked:
        pages = [names(get(fitter, f"{query}{'&' if query else '?'}page={page}")) for page in (1, 2, 3)]
    assert sorted(sum(pages, [])) == [f"{number:03}" for number in range(120)]
    rows = [one["sql"] for one in asked.captured_queries if "LIMIT 51" in one["sql"]]
    assert rows
    assert all(re.search(r'("id"|"col\d"|1) ASC\s+LIMIT', sql) for sql in rows)


@pytest.mark.parametrize("sort", ["password", "kind__history", "-", "", "name;drop"])
def test_a_sort_that_is_none_is_passed_over(fitter: Client, sort: str) -> None:
    make("B", "A")
    assert names(get(fitter, f"?sort={sort}")) == ["A", "B"]


def test_words_find_fragments_in_any_field(fitter: Client) -> None:
    make("Five speed", "Four speed")
    make("Bell", maker="Orvane", notes="for the five")
    assert names(get(fitter, "?words=fiv")) == ["Bell", "Five speed"]
    assert names(get(fitter, "?words=fiv+orv")) == ["Bell"]


@pytest.mark.parametrize("page", ["0", "-1", "99999999999999999999", "9" * 5000, "two", "", "1e3", "٣"])
def test_a_page_that_is_none_gives_the_nearest(fitter: Client, page: str) -> None:
    make("A")
    assert names(get(fitter, f"?page={page}")) == ["A"]


@pytest.mark.parametrize(
    "query", ["?per_page=0", "?per_page=-5", "?as=pdf", "?kind=" + "x" * 2000, "?words=" + "%25" * 9]
)
def test_odd_addresses_are_answered(fitter: Client, query: str) -> None:
    make("A")
    get(fitter, f"?{query}")


def test_pages_keep_filter_and_sort(fitter: Client) -> None:
    make(*(f"N{number:03}" for number in range(60)))
    page = get(fitter, "?sort=-name&words=n")
    assert "1 to 50 of 60 rows" in page
    link = re.search(r'rel="next" href="([^"]*)"', page)
    assert link
    assert names(get(fitter, link[1].replace("&amp;", "&")))[-1] == "N000"


def test_an_empty_list_says_what_to_do(fitter: Client) -> None:
    page = get(fitter)
    assert "No component yet." in page
    assert '<a class="button" href="/test/new/">Write one down</a>' in page


def test_a_filter_without_rows_offers_all(fitter: Client) -> None:
    make("A")
    assert "No row fits" in get(fitter, "?words=zzz")


def test_csv_has_the_same_rows_on_all_pages_with_numbers_as_numbers(fitter: Client) -> None:
    make(*(f"N{number:03}" for number in range(60)))
    response = fitter.get("/test/?words=n&sort=-name&as=csv")
    assert response["Content-Disposition"] == 'attachment; filename="test.csv"'
    rows = list(csv.DictReader(response.content.decode("utf-8-sig").splitlines()))
    assert len(rows) == 60
    assert rows[0]["Name"] == "N059"
    assert float(rows[0]["Length [mm]"]) == pytest.approx(88.9)


def memory_of_a_file(client: Client) -> tuple[int, int]:
    """The most bytes held while a file is sent, and its rows."""
    gc.collect()
    tracemalloc.start()
    response, rows = client.get("/test/?as=csv"), 0
    assert response.streaming
    for piece in response:
        gc.collect()  # rows and their table know one another: let go of, they stay until somebody looks
        rows += piece.count(b"\r\n")
    _, most = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    return most, rows - 1


def test_a_long_file_is_sent_as_it_is_read_in_the_memory_of_a_short_one(fitter: Client, monkeypatch) -> None:
    monkeypatch.setattr(spreadsheets, "ROWS_A_PIECE", 20)
    fitter.get("/test/?as=csv")
    held = []
    for first, last in ((0, 50), (50, 450)):
        Component.objects.bulk_create(
            Component(kind="gearbox", maker="Teskel", name=f"N{at}", notes="x" * 1_000) for at in range(first, last)
        )
        most, rows = memory_of_a_file(fitter)
        assert rows == last
        held.append(most)
    assert held[1] - held[0] < 200_000  # the notes alone of what is not held any more are twice that


def test_a_long_list_is_counted_so_far_and_read_to_its_end(fitter: Client, monkeypatch) -> None:
    monkeypatch.setattr(paging, "MOST_COUNTED", 60)
    make(*(f"{number:03}" for number in range(160)))
    page, seen = get(fitter), []
    assert "1 to 50 of 60+ rows" in page
    while link := re.search(r'rel="next" href="([^"]*)"', page):
        seen += names(page)
        page = get(fitter, link[1])
    assert seen + names(page) == [f"{number:03}" for number in range(160)]
    assert "151 to 160 of 60+ rows" in page
    assert "101 to 150 of 60+ rows" in get(fitter, re.search(r'rel="prev" href="([^"]*)"', page)[1])
    assert names(get(fitter, "?page=77777"))[0] == "050"  # the last page that is counted
    # No page costs more the longer the list is: after some hundred the rest is found in other ways, and that is said.
    monkeypatch.setattr(paging, "MOST_PAGED", 100)
    last = get(fitter, "?page=2")
    assert names(last)[0] == "050"
    assert 'rel="next"' not in last
    assert "51 to 100 of 60+ rows. Those after them are found by the filter" in " ".join(last.split())
    assert names(get(fitter, "?page=3")) == names(last)


@pytest.mark.parametrize("live", ["=1+2", "+1", "-1", "@SUM(A1)", "\tx", "\rx"])
def test_csv_holds_nothing_that_a_spreadsheet_runs(fitter: Client, live: str) -> None:
    make("A", notes=live)
    text = fitter.get("/test/?as=csv").content.decode("utf-8-sig")
    assert next(csv.DictReader(text.splitlines(keepends=True)))["Notes"] == f"'{live}"


def test_as_many_queries_for_twenty_rows_as_for_one(fitter: Client) -> None:
    make("A")
    one = queries_of(fitter, "/test/")
    make(*(f"N{number}" for number in range(19)))
    twenty = queries_of(fitter, "/test/")
    # session, person, roles?, preferences, count, rows, whose shop it is
    assert len(one) == len(twenty) == 7, twenty


def test_a_page_reached_from_the_list_leads_back_to_the_same_list(fitter: Client) -> None:
    from django.template import Context, Template
    from django.test import RequestFactory

    make("A")
    fitter.get("/test/?words=a&sort=-name")
    request = RequestFactory().get("/")
    request.COOKIES = {name: morsel.value for name, morsel in fitter.cookies.items()}
    words = Template("{% list_address 'components' %}").render(Context({"request": request}))
    assert words == "/test/?words=a&amp;sort=-name"


def test_lengths_are_shown_in_the_readers_units(fitter: Client, prefer: Callable[..., None]) -> None:
    make("A")
    assert "88.9 mm" in get(fitter)
    prefer("fitter", units="inch")
    assert "3.5 in" in get(fitter)
