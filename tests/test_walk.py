"""No page of any record of the demo breaks, and no form, however it is sent (`tests.walk`)."""

import csv
import re
from collections.abc import Iterator
from datetime import date
from io import BytesIO, StringIO

import pytest
from django.db.models import Model
from django.urls import reverse
from openpyxl import load_workbook

from tests.addresses import Address
from tests.walk import (
    ADDRESSES,
    EVERYTHING,
    TOO_LARGE,
    Walk,
    field_names,
    hyphens_for_minus,
    undrafted,
    without_way_out,
)

pytestmark = pytest.mark.django_db

# A page of a record on which something may be typed besides: who does not, has nothing to leave.
NO_WAY_OUT = frozenset({"worksheets:worksheet"})
EVERY = pytest.mark.parametrize("address", ADDRESSES, ids=[address.name for address in ADDRESSES])
PLAIN = [address for address in ADDRESSES if not address.parts and "GET" in address.methods]
LISTS = pytest.mark.parametrize("address", PLAIN, ids=[address.name for address in PLAIN])


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def walk(kinds: dict[str, type[Model]], demo: None, until_the_file_ends: None) -> Iterator[Walk]:
    walk = Walk(kinds)
    yield walk
    if EVERYTHING:
        print(f"\n{walk.asked} requests to {len(ADDRESSES)} addresses; the slowest {walk.slowest}")


@EVERY
def test_no_page_breaks_or_writes_a_hyphen_for_minus_and_each_form_keeps_a_draft_and_can_be_left(
    address: Address, walk: Walk
) -> None:
    if "GET" in address.methods:
        for parts in walk.drawn(address):
            page = walk.page(reverse(address.name, kwargs=parts))
            assert undrafted(page) == []
            assert hyphens_for_minus(page) == []
            assert address.name in NO_WAY_OUT or without_way_out(page) == []


@EVERY
def test_no_form_breaks_however_it_is_sent(address: Address, walk: Walk) -> None:
    for parts in walk.drawn(address)[:3] if "POST" in address.methods else []:
        at = reverse(address.name, kwargs=parts)
        walk.send_every_form(at, walk.page(at) if "GET" in address.methods else walk.send("get", at))


@LISTS
def test_no_query_breaks_on_numbers_past_what_a_database_holds(address: Address, walk: Walk) -> None:
    at = reverse(address.name)
    names = [*field_names(walk.page(at)), "page", "sort", "as"]
    for value in (TOO_LARGE, f"-{TOO_LARGE}", "9" * 400) if EVERYTHING else (TOO_LARGE,):
        walk.send("get", at, dict.fromkeys(names, value))
    walk.send("get", at, dict.fromkeys(names, "a\0b"))
    assert walk.status == 400


MAY_BE_EMPTY = ("orders:messages", "print:sheets")
"""Lists of which the demo has no rows: they offer no file."""
IN_FIGURES = ("Grade", "Part", "Registration", "Phone")
"""Words that may be written in figures alone: a grade 10.9 is no number, nor is a part's."""
SEVERAL = re.compile(
    r"[-−+]?\d[\d., ]*\s?(mm|N·m|kg|°|%|in|h|g|N|days?|hours?|steps?)( or more)?"  # a number and its unit
    r"|\d{1,2} [A-Z][a-z]{2}( \d{4})?(, \d\d:\d\d)?"  # a day as pages write it
    r"|.*±.*\d.*|.*\d[.]\d{7,}.*|–|nothing yet|not known"
)
NUMBER = re.compile(r"[-+]?\d+([.]\d+)?(e[-+]?\d+)?")


@LISTS
@pytest.mark.parametrize("query", ["", "&show=deleted"])
def test_a_list_and_only_a_list_gives_files_of_one_value_a_cell(address: Address, query: str, walk: Walk) -> None:
    at = reverse(address.name)
    is_list = "as=csv" in walk.page(at) or address.name in MAY_BE_EMPTY
    if query and not is_list:
        return
    file = walk.send("get", f"{at}?as=csv{query}")
    assert walk.kind.startswith("text/csv") == is_list, "a list offers the file that it gives"
    if not is_list:
        return
    headings, *rows = csv.reader(StringIO(file.removeprefix("\ufeff")))
    assert len(set(headings)) == len(headings)
    assert rows or query or address.name in MAY_BE_EMPTY, "the demo has nothing to show here"
    told = [(heading, cell) for row in rows for heading, cell in zip(headings, row, strict=True)]
    assert [(heading, cell) for heading, cell in told if SEVERAL.fullmatch(cell) and heading != "Verdict"] == []
    assert [cell for _, cell in told if cell[:1] in ("=", "+", "@", "\t", "\r")] == []
    walk.send("get", f"{at}?as=xlsx{query}")
    book = load_workbook(BytesIO(walk.content)).active
    cells = [cell for row in book.iter_rows(min_row=2) for cell in row]
    for (heading, text), cell in zip(told, cells, strict=True):
        if re.fullmatch(r"\d{4}-\d\d-\d\d.*", text):
            assert isinstance(cell.value, date), (heading, text)
        elif NUMBER.fullmatch(text) and heading not in IN_FIGURES:
            assert cell.value == pytest.approx(float(text)), (heading, text)


@EVERY
def test_a_verb_that_an_address_does_not_take_is_answered_with_a_page(address: Address, walk: Walk) -> None:
    parts = walk.drawn(address)
    for method in ("put", "delete", "patch") if parts and EVERYTHING else ("put",)[: len(parts)]:
        page = walk.send(method, reverse(address.name, kwargs=parts[0]))
        assert walk.status in (302, 405), method
        assert walk.status != 405 or "<main" in page, method
