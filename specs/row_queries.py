"""Questions that lists ask over and over: put together once, and put into SQL once.

The rows of a list take a database a millisecond; to write down what is asked of it took Django two.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, wraps
from typing import Any, TypeVar

from django.db.models import Count, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce

Rows = TypeVar("Rows", bound=QuerySet[Any])


def put_together_once(question: Callable[[], Rows]) -> Callable[[], Rows]:
    """A question that is never asked itself: whoever calls gets one of their own, which was not asked yet."""
    kept = cache(question)

    @wraps(question)
    def asked() -> Rows:
        return kept().all()

    return asked


class OfEachRow(Subquery):
    """What a list says of a row, by a query of its own, whose words are the same each time.

    They are as long as the tables around it have the same names; where Django gives them others, it makes a copy.
    """

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._sql: dict[str, tuple[str, Any]] = {}

    def copy(self) -> OfEachRow:
        clone = super().copy()
        clone._sql = {}
        return clone

    def as_sql(self, compiler: Any, connection: Any, template: str | None = None, **context: Any) -> Any:
        if template or context:
            return super().as_sql(compiler, connection, template, **context)
        if connection.vendor not in self._sql:
            self._sql[connection.vendor] = super().as_sql(compiler, connection)
        words, values = self._sql[connection.vendor]
        return words, list(values)


def number_of(rows: QuerySet[Any], of: str) -> Coalesce:
    """How many of some rows belong to each row of a list, `of` the name of what they belong to.

    Counted over a join, several such numbers cost the product of what there is.
    """
    counted = rows.filter(**{of: OuterRef("pk")}).order_by().values(of).annotate(number=Count("pk")).values("number")
    return Coalesce(OfEachRow(counted), 0)
