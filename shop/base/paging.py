"""Pages of a list that is counted to a thousand and no further: to count ten years of rows takes longer than to show
fifty of them, and nobody reads the number.

A page is found by the keys of its rows, in the order of an index where there is one; what else a list says of a row is
read of those fifty only.
"""

from __future__ import annotations

from functools import cached_property
from typing import Any

from django.core.paginator import EmptyPage, Page, PageNotAnInteger, Paginator
from django.db.models import QuerySet
from django_tables2.rows import BoundRows

MOST_COUNTED = 1_000
MOST_PAGED = 10_000
"""Rows that are gone through page by page: to leave out so many costs a millisecond. Nobody reads two hundred pages;
what lies behind them is found by the filter, by sorting the other way round, or in the file."""


class ListPaginator(Paginator):
    """Pages of the rows of a table; beyond what is counted they go on one by one."""

    object_list: BoundRows

    @cached_property
    def _counted(self) -> int:
        rows = self.object_list.data.data
        if not isinstance(rows, QuerySet):
            return len(rows)
        # Of keys: what else is read of a row would be read of a thousand.
        return rows.order_by().values("pk")[: MOST_COUNTED + 1].count()

    @cached_property
    def count(self) -> int:
        return min(self._counted, MOST_COUNTED)

    @property
    def is_more(self) -> bool:
        """Whether there are more rows than are counted."""
        return self._counted > MOST_COUNTED

    @property
    def count_words(self) -> str:
        return f"{MOST_COUNTED:,}+" if self.is_more else f"{self.count:,}"

    def get_page(self, number: Any) -> Page:
        """The nearest page there is to a number that is too large or no number at all."""
        try:
            return self.page(self._number(number))
        except PageNotAnInteger:
            return self.page(1)
        except EmptyPage:
            return self.page(self.num_pages)

    def _number(self, number: Any) -> int:
        wanted = str(number or 1)
        if not (wanted.isascii() and wanted.isdigit() and len(wanted) < 9):
            raise PageNotAnInteger(wanted) if not wanted.isdigit() else EmptyPage(wanted)
        return int(wanted)

    def validate_number(self, number: Any) -> int:
        if self.is_more and number > self.num_pages:
            return min(int(number), self.deepest)
        return super().validate_number(number)

    @property
    def deepest(self) -> int:
        """The number of the last page that a list leads to, however long it is."""
        return MOST_PAGED // self.per_page

    def page(self, number: Any) -> Page:
        number = self.validate_number(number)
        rows = self.object_list.data.data
        if not isinstance(rows, QuerySet):
            return super().page(number)
        if self._counted <= self.per_page:
            return Page(BoundRows(list(rows), self.object_list.table), number, self)
        bottom = (number - 1) * self.per_page
        # One row more than is shown says whether there is a next page.
        keys = list(rows.values_list("pk", flat=True)[bottom : bottom + self.per_page + 1])
        if not keys:
            raise EmptyPage(str(number))
        shown = BoundRows(_of_keys(rows, keys[: self.per_page]), self.object_list.table)
        if not self.is_more or number < self.num_pages:
            return Page(shown, number, self)
        return UncountedPage(shown, number, self, len(shown), len(keys) > self.per_page)


def _of_keys(rows: QuerySet[Any], keys: list[Any]) -> list[Any]:
    """The rows of these keys in their order, with all that is read of each: of the page's rows and of no others."""
    found = {row.pk: row for row in rows.order_by().filter(pk__in=keys)}
    return [found[key] for key in keys if key in found]


class UncountedPage(Page):
    """A page at or beyond the end of what is counted."""

    paginator: ListPaginator

    def __init__(self, rows: BoundRows, number: int, paginator: ListPaginator, length: int, goes_on: bool) -> None:
        super().__init__(rows, number, paginator)
        self._length, self._goes_on = length, goes_on

    def has_next(self) -> bool:
        return self._goes_on and self.number < self.paginator.deepest

    @property
    def ends_early(self) -> bool:
        """Whether there are rows beyond this page that no page shows."""
        return self._goes_on and not self.has_next()

    def next_page_number(self) -> int:
        return self.number + 1

    def previous_page_number(self) -> int:
        return self.number - 1

    def end_index(self) -> int:
        return self.start_index() + self._length - 1
