"""Pages of a list that is counted to ten thousand and no further: nobody reads the number of ten years' rows.

A page is found by the keys of its rows, in the order of an index where there is one; what else a list says of a row is
read of those fifty only. A page that has room left says by itself how many there are. Pages lead on from the row at
their edge (`shop.base.keyset`), so that the last of 100,000 rows costs what the first does, and what is written
meanwhile neither hides a row nor shows it twice. Where an order names no place, pages have numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property, partial
from typing import Any

from django.core.exceptions import EmptyResultSet
from django.core.paginator import Page, Paginator
from django.db import connection
from django.db.models import QuerySet
from django.http import QueryDict
from django_tables2.rows import BoundRows

from shop.base.common_words import COUNTED, CommonWords, Part
from shop.base.keyset import Place, SortKey, beside, read_place, sort_keys, written_place
from shop.base.unchanged import while_unchanged
from specs.row_queries import PutTogether, Words

MOST_COUNTED = 10_000
"""Rows that are counted, and gone through by numbers where no row names its place: that costs a millisecond."""
AFTER, BEFORE, LAST = "after", "before", "last"
PLACE_WORDS = ("page", AFTER, BEFORE)
"""What of an address says where in its list a page is."""

Address = dict[str, list[str]]
_NONE_READ: Mapping[Any, Any] = {}


class ListPage(Page):
    """Rows of a list, and what leads to those around them: words of the address, None where there are none.

    `first` is the number of its first row, None where that is beyond what is counted.
    """

    paginator: ListPaginator

    def __init__(self, rows: BoundRows, paginator: ListPaginator, first: int | None) -> None:
        super().__init__(rows, 1, paginator)
        self.first = first
        self.earlier: Address | None = None
        self.later: Address | None = None
        self.ends_early = False
        """Whether there are rows beyond this page that no page shows."""

    @property
    def last(self) -> int | None:
        """The number of its last row."""
        return self.first and self.first + len(self.object_list) - 1

    def has_previous(self) -> bool:
        return self.earlier is not None

    def has_next(self) -> bool:
        return self.later is not None

    @property
    def leads_to_the_first(self) -> bool:
        """Whether the first page is farther away than the earlier one."""
        return bool(self.earlier)

    @property
    def leads_to_the_last(self) -> bool:
        """Whether the last page can be found, and is not the next one by all that is counted."""
        pages = self.paginator
        beyond_next = pages.is_more or not self.last or pages.count > self.last + pages.per_page
        return self.has_next() and beyond_next and bool(pages.keys)


class ListPaginator(Paginator):
    """Pages of the rows of a table.

    `everything` are the rows of a list before somebody narrowed them down: what a page says of its rows is read of
    these, by their keys, or a search would be made a second time for it. `typed`: whether it was narrowed by something
    typed, of which there is no end; what is chosen of a few has a number that is kept; `narrowed`: whether it was at
    all, and `words` what was typed where very many rows hold it. `read`: rows that a page has read already, whole, by
    their keys.
    """

    object_list: BoundRows

    def __init__(
        self,
        rows: BoundRows,
        per_page: int,
        everything: QuerySet[Any] | None = None,
        *,
        typed: bool = False,
        narrowed: bool = True,
        words: CommonWords | None = None,
        read: Mapping[Any, Any] = _NONE_READ,
    ) -> None:
        super().__init__(rows, per_page)
        self._everything, self._typed, self._read = everything, typed, read
        # Of everything that a question gives which is put together once the words are kept.
        self._together: PutTogether | None = getattr(everything, "put_together", None)
        self._is_everything = not narrowed
        self._common_words = words

    @property
    def _rows(self) -> Any:
        return self.object_list.data.data

    @cached_property
    def keys(self) -> tuple[SortKey, ...]:
        """What names a place among the rows; nothing where nothing does."""
        return sort_keys(self._rows) if isinstance(self._rows, QuerySet) else ()

    @cached_property
    def _counted(self) -> int:
        if not isinstance(self._rows, QuerySet):
            return len(self._rows)
        return self._number_of(_all)

    @cached_property
    def _common(self) -> CommonWords | None:
        """Words that are found in the order of the list, where that names places."""
        return self._common_words if self.keys else None

    @property
    def _most(self) -> int:
        return COUNTED if self._common else MOST_COUNTED

    def _number_of(self, part: Part) -> int:
        if self._common and (number := self._common.number(part)) is not None:
            return number
        rows = part(self._rows)
        if self._typed:
            return _first_keys(rows, (), self._most).count()
        return _counted_before(self._words(_first_keys, MOST_COUNTED) if part is _all else None, rows)

    def _words(self, asked: Callable[..., QuerySet[Any]], *of: Any) -> Words | None:
        """The words of what is asked of all rows in their order, where they are kept."""
        order = self._rows.query.order_by
        are_kept = self._together and self._is_everything and all(isinstance(name, str) for name in order)
        return self._together.words(asked, order, *of) if self._together and are_kept else None

    @cached_property
    def count(self) -> int:
        return min(self._counted, self._most)

    @property
    def is_more(self) -> bool:
        """Whether there are more rows than are counted."""
        return self._counted > self._most

    @property
    def count_words(self) -> str:
        return f"{self._most:,}+" if self.is_more else f"{self.count:,}"

    def page_at(self, asked: QueryDict) -> ListPage:
        """The page that an address asks for: beside a row, the last, by its number; else the nearest there is."""
        for word, onward in ((AFTER, True), (BEFORE, False)):
            if place := read_place(self.keys, asked.getlist(word)):
                return self._beside(place, onward)
        number = asked.get("page", "")
        return self._last() if number == LAST and self.keys else self._numbered(self._nearest(number))

    def _nearest(self, asked: str) -> int:
        """The number of the page that there is, for one that is too large or no number at all."""
        if not (asked.isascii() and asked.isdigit()):
            return 1
        number = int(asked) if len(asked) < 9 else self.num_pages
        return min(number or self.num_pages, self.num_pages)

    def _numbered(self, number: int) -> ListPage:
        bottom = (number - 1) * self.per_page
        if not isinstance(self._rows, QuerySet):
            rows = list(self._rows[bottom : bottom + self.per_page])
            page = ListPage(BoundRows(rows, self.object_list.table), self, bottom + 1)
            return self._by_numbers(page, number, goes_on=number < self.num_pages)
        # One row more than is shown says whether there is a next page.
        places = self._places(_all, slice(bottom, bottom + self.per_page + 1))
        shown, goes_on = places[: self.per_page], len(places) > self.per_page
        if number == 1 and not goes_on:
            self._counted = len(shown)
        page = self._page(shown, bottom + 1)
        by_places = self.keys and shown
        return self._by_places(page, shown, goes_on) if by_places else self._by_numbers(page, number, goes_on)

    def _beside(self, place: Place, onward: bool) -> ListPage:
        places = self._places(partial(beside, keys=self.keys, place=place, onward=onward), slice(self.per_page + 1))
        shown, goes_on = places[: self.per_page], len(places) > self.per_page
        if onward:
            return self._placed(shown, goes_on) if shown else self._last()
        # Where the top is reached, a whole page, and not only the rows above this place.
        return self._placed(shown[::-1], goes_on=True) if goes_on else self._numbered(1)

    def _last(self) -> ListPage:
        places = self._places(QuerySet.reverse, slice(self.per_page))
        if not places:
            return self._numbered(1)
        first = None if self.is_more else max(self._counted - len(places) + 1, 1)
        return self._by_places(self._page(places[::-1], first), places[::-1], goes_on=False)

    def _placed(self, shown: list[Place], goes_on: bool) -> ListPage:
        above = self._number_of(partial(beside, keys=self.keys, place=shown[0], onward=False))
        return self._by_places(self._page(shown, above + 1 if above <= self._most else None), shown, goes_on)

    def _by_places(self, page: ListPage, shown: list[Place], goes_on: bool) -> ListPage:
        """Say by the rows at its edges what comes before and after a page."""
        if page.first != 1:
            below_the_first = page.first is not None and page.first <= self.per_page + 1
            page.earlier = {} if below_the_first else {BEFORE: written_place(shown[0])}
        page.later = {AFTER: written_place(shown[-1])} if goes_on else None
        return page

    def _by_numbers(self, page: ListPage, number: int, goes_on: bool) -> ListPage:
        """Say by numbers what comes before and after a page."""
        if number > 1:
            page.earlier = {"page": [str(number - 1)]} if number > 2 else {}
        page.later = {"page": [str(number + 1)]} if goes_on and number < self.num_pages else None
        page.ends_early = goes_on and page.later is None
        return page

    def _places(self, part: Part, cut: slice) -> list[Place]:
        paths = [key.path for key in self.keys] or ["pk"]
        if self._common and not cut.start:
            order = self._rows.query.order_by
            if (keys := self._common.first(part, order, cut.stop)) is not None:
                return list(part(self._common.rows.filter(pk__in=keys).order_by(*order)).values_list(*paths))
        words = self._words(_places_of, cut.start, cut.stop, *paths) if part is _all else None
        return words.tuples() if words else list(part(self._rows).values_list(*paths)[cut])

    def _page(self, places: list[Place], first: int | None) -> ListPage:
        rows = self._rows if self._everything is None else self._everything
        keys = [place[-1] for place in places]
        # What came after the others were read is not among them; then all are of one moment.
        if self._read.keys() >= set(keys):
            shown = [self._read[key] for key in keys]
        else:
            shown = _in_order(keys, self._together.of_keys(keys) if self._together else _of_keys(rows, keys))
        return ListPage(BoundRows(shown, self.object_list.table), self, first)


def _all(rows: QuerySet[Any]) -> QuerySet[Any]:
    return rows


def _places_of(rows: QuerySet[Any], order: tuple[Any, ...], start: int, stop: int, *paths: str) -> QuerySet[Any]:
    return rows.order_by(*order).values_list(*paths)[start:stop]


def _first_keys(rows: QuerySet[Any], order: tuple[Any, ...], most: int) -> QuerySet[Any]:
    # Of keys, in no order: what else is read of a row would be read of ten thousand.
    return rows.order_by().values("pk")[: most + 1]


def _counted_before(words: Words | None, rows: QuerySet[Any]) -> int:
    """How many there are, or were when somebody counted and nothing was written since that says otherwise."""
    try:
        words = words or Words(_first_keys(rows, (), MOST_COUNTED))
    except EmptyResultSet:  # it asks for one of no keys
        return 0
    return _number(f'SELECT COUNT(*) FROM ({words.sql}) "counted"', words.values)  # noqa: S608


@while_unchanged
def _number(words: str, values: tuple[Any, ...]) -> int:
    with connection.cursor() as cursor:
        cursor.execute(words, values)
        return int(cursor.fetchone()[0])


def _of_keys(rows: QuerySet[Any], keys: list[Any]) -> Iterable[Any]:
    """The rows of these keys, with all that is read of each: of the page's rows and of no others."""
    return rows.order_by().filter(pk__in=keys)


def _in_order(keys: list[Any], rows: Iterable[Any]) -> list[Any]:
    found = {row.pk: row for row in rows}
    return [found[key] for key in keys if key in found]
