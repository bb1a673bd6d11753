"""A list page: the address holds its filters, sort and page; the CSV has the same rows."""

import csv
import gc
import random
import re
import tracemalloc
from collections.abc import Callable

import pytest
from django.db import connection
from django.db.models.functions import Length
from django.http import QueryDict
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.base import paging, spreadsheets
from shop.base.tables import Table
from specs.models import Component
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.urls("tests.shop.base.pages_urls")


KINDS = ("gearbox", "clutch_kit", "engine")


class Named(Table):
    class Meta(Table.Meta):
        model = Component
        fields = ["name"]


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
    assert all(re.search(r'("id"|"col\d"|\d) ASC\s+LIMIT', sql) for sql in rows)


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
        page = get(fitter, link[1].replace("&amp;", "&"))
    assert seen + names(page) == [f"{number:03}" for number in range(160)]
    assert "10 of 60+ rows" in page
    assert "50 of 60+ rows" in get(fitter, linked(page, "prev"))


@pytest.mark.django_db(transaction=True)
def test_the_number_of_a_list_is_not_counted_again_until_somebody_writes(fitter: Client) -> None:
    make(*(f"{number:03}" for number in range(60)))
    counts = []
    for number in (60, 60, 61):
        make(*(["last"] if number == 61 else []))
        with CaptureQueriesContext(connection) as asked:
            response = fitter.get("/test/", headers={"Cache-Control": "no-cache"})
            counts.append(sum("COUNT(" in query["sql"] for query in asked.captured_queries))
        assert f"1 to 50 of {number} rows" in collapsed(response)
    assert counts[1] < min(counts[0], counts[2])


def linked(page: str, rel: str) -> str:
    """The query that a link of a list's foot leads to."""
    found = re.search(rf'rel="{rel}" href="([^"]*)"', page) or re.search(rf'href="([^"]*)">{rel}<', page)
    assert found, rel
    return found[1].replace("&amp;", "&")


def test_the_last_rows_of_a_long_list_are_one_press_away_and_lead_back_to_the_first(fitter: Client) -> None:
    make(*(f"{number:03}" for number in range(160)))
    page = get(fitter, linked(get(fitter), "Last page"))
    assert names(page) == [f"{number:03}" for number in range(110, 160)]
    assert "111 to 160 of 160 rows" in page
    assert 'rel="next"' not in page
    seen = names(page)
    for words in ("61 to 110", "11 to 60", "1 to 50"):
        page = get(fitter, linked(page, "prev"))
        assert f"{words} of 160 rows" in page
        seen = names(page)[: int(words.split()[-1])] + seen
    assert 'rel="prev"' not in page
    assert sorted(set(seen)) == [f"{number:03}" for number in range(160)]
    assert names(get(fitter, linked(get(fitter, "?page=4"), "First page"))) == names(page)


def test_a_page_that_began_beside_a_row_is_left_by_another_order(fitter: Client) -> None:
    make(*(f"{number:03}" for number in range(160)))
    second = get(fitter, linked(get(fitter), "next"))
    assert "51 to 100 of 160 rows" in second
    for words in ("Name", "200 a page", "These rows as CSV"):
        assert "after=" not in linked(second, words)


@pytest.mark.parametrize("sort", ["kind", "-kind"])
@pytest.mark.parametrize("seed", range(3))
def test_a_walk_shows_every_row_once_whatever_is_written_meanwhile(fitter: Client, sort: str, seed: int) -> None:
    """Rows come and go at both ends and between; those that were there all the time are seen once each."""
    drawn = random.Random(seed)
    for at in range(170):
        make(f"{at:03}", kind=drawn.choice(KINDS))
    page, seen, added, gone = get(fitter, f"?sort={sort}"), [], 0, set()
    while True:
        seen += names(page)
        for _ in range(drawn.randrange(6)):
            make(f"new {added}", kind=drawn.choice(KINDS))
            added += 1
        for name in drawn.sample(seen, 4):
            gone.add(name)
            Component.objects.filter(name=name).delete()
        if 'rel="next"' not in page:
            break
        page = get(fitter, linked(page, "next"))
    first_there = [name for name in seen if not name.startswith("new")]
    assert sorted(first_there) == [f"{at:03}" for at in range(170)]
    assert len(seen) == len(set(seen))
    assert gone


@pytest.mark.parametrize(
    "query",
    ["?after=", "?after=A", "?after=A&after=", "?after=A&after=x", "?before=A&before=" + "9" * 5000, "?page=last"],
)
def test_a_place_that_names_no_row_gives_the_nearest_page(fitter: Client, query: str) -> None:
    make("A", "B")
    assert names(get(fitter, query)) == ["A", "B"]


def test_a_list_in_an_order_that_names_no_place_ends_where_counting_does_and_says_so(db: None, monkeypatch) -> None:
    monkeypatch.setattr(paging, "MOST_COUNTED", 4)
    make(*"ABCDEFG")
    rows = Component.objects.annotate(rank=Length("name")).order_by("rank", "name", "pk")
    pages = paging.ListPaginator(Named(rows).rows, 2)
    assert not pages.keys
    first, second = pages.page_at(QueryDict()), pages.page_at(QueryDict("page=77777"))
    assert (first.earlier, first.later) == (None, {"page": ["2"]})
    assert (second.earlier, second.later, second.ends_early) == ({}, None, True)
    assert [row.record.name for row in second.object_list] == ["C", "D"]
    assert pages.page_at(QueryDict("after=1&after=A&after=1")).first == 1


def test_what_stands_before_a_page_in_the_middle_is_counted_anew_once_something_was_written(transactional_db: None):
    make(*"CDEF")
    rows = Component.objects.order_by("name", "pk")
    place = QueryDict(f"after=D&after={rows.get(name='D').pk}")

    def asked() -> tuple[int | None, int]:
        with CaptureQueriesContext(connection) as queries:
            page = paging.ListPaginator(Named(rows).rows, 2).page_at(place)
        return page.first, len(queries)

    asked()
    assert asked() == (3, 2)
    make("A")
    assert asked()[0] == 4


def test_a_page_of_rows_that_were_read_already_reads_their_keys_alone(db: None) -> None:
    make(*"ABC")
    rows = Component.objects.order_by("name", "pk")
    read = {one.pk: one for one in rows}
    with CaptureQueriesContext(connection) as asked:
        page = paging.ListPaginator(Named(rows).rows, 2, read=read).page_at(QueryDict())
    assert [row.record.name for row in page.object_list] == ["A", "B"]
    assert len(asked) == 1


def test_a_row_that_came_after_the_others_were_read_is_shown_in_its_place_and_a_deleted_one_is_not(db: None) -> None:
    make(*"BCD")
    rows = Component.objects.order_by("name", "pk")
    read = {one.pk: one for one in rows}
    make("A")
    Component.objects.filter(name="C").delete()
    page = paging.ListPaginator(Named(rows).rows, 3, read=read).page_at(QueryDict())
    assert [row.record.name for row in page.object_list] == ["A", "B", "D"]


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
    # session, person, roles?, preferences, keys, rows, whose shop it is
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
