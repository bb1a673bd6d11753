"""Words that very many rows of a list hold: found in the list's own order, not in the index of all words.

The index gives every row that holds a word, in no order of a list: of one that half of a hundred thousand rows hold it
takes 40 ms, for the page and for their number each. But such a word stands in some of the next rows: so many of these
are looked through, and only where they do not fill a page is the index asked. Of their number nothing is said beyond a
thousand.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from django.core.exceptions import EmptyResultSet
from django.db import connection
from django.db.models import F, QuerySet

from shop.base.models import SearchEntry
from shop.base.trigrams import Groups, among, holds_whole
from specs.row_queries import Words

COUNTED = 1_000
SAMPLE = COUNTED + COUNTED // 5
"""Rows of which the index is asked at first: a few of those that hold a word may be deleted, or left out otherwise."""
NEXT = 2_000
"""Rows of the list that are looked through: 8 ms, where none of them holds the words."""

Part = Callable[[QuerySet[Any]], QuerySet[Any]]
"""What is asked of rows: all of them, those after a place, their reverse."""


@dataclass(frozen=True)
class CommonWords:
    """Words that more than `SAMPLE` records of a kind hold. `rows` are those of the list whatever words they hold, and
    `some` are keys of records that hold them."""

    rows: QuerySet[Any]
    groups: Groups
    some: Sequence[int]

    def first(self, part: Part, order: Sequence[Any], count: int) -> list[int] | None:
        """The keys of the first rows of a part in an order that hold the words; None where the next ones are fewer."""
        asked = "SELECT key FROM {looked} WHERE held LIMIT %s"
        found = self._asked(part(self.rows.order_by(*order)), NEXT, asked, count)
        return [key for (key,) in found] if len(found) == count else None

    def number(self, part: Part) -> int | None:
        """How many rows of a part hold them, `COUNTED` + 1 where more do; None where that is not known so easily."""
        if part(self.rows.filter(pk__in=among(self.some))).count() > COUNTED:
            return COUNTED + 1
        counted = "SELECT COUNT(*), COALESCE(SUM(CASE WHEN held THEN 1 ELSE 0 END), 0) FROM {looked}"
        found = self._asked(part(self.rows.order_by()), NEXT + 1, counted)
        gone_through, holding = found[0] if found else (0, 0)
        return min(int(holding), COUNTED + 1) if gone_through <= NEXT else None

    def _asked(self, rows: QuerySet[Any], count: int, question: str, *values: Any) -> list[tuple[Any, ...]]:
        """What a question about so many rows finds, of each of which it is known whether it holds the words."""
        try:
            those = Words(rows.values(key=F("pk"))[:count])
        except EmptyResultSet:
            return []
        # A value and no join: the rows stay in their order, and no more are looked at than are wanted.
        condition, parts = holds_whole(self.groups)
        held = f"SELECT {condition} FROM {SearchEntry._meta.db_table} e WHERE e.kind = %s AND e.key = next.key"  # noqa: S608
        looked = f"(SELECT next.key, ({held}) AS held FROM ({those.sql}) next) looked"  # noqa: S608
        with connection.cursor() as cursor:
            asked = question.format(looked=looked)
            cursor.execute(asked, [*parts, rows.model._meta.label_lower, *those.values, *values])
            return cursor.fetchall()
