"""Questions that lists ask over and over: put together once, and put into SQL once.

The rows of a list take a database a millisecond; to write down what is asked of it took Django two.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from copy import copy
from functools import cache, lru_cache, wraps
from typing import Any, TypeVar

from django.db import connection, connections
from django.db.models import Count, Model, OuterRef, QuerySet, Subquery, prefetch_related_objects
from django.db.models.functions import Coalesce

Rows = TypeVar("Rows", bound=QuerySet[Any])


def put_together_once(question: Callable[[], Rows]) -> Callable[[], Rows]:
    """A question that is never asked itself: whoever calls gets one of their own, which was not asked yet.

    It carries `put_together`, by which words are kept of it; what is made of it by another filter or order does not.
    """
    kept = cache(lambda: PutTogether(question()))

    @wraps(question)
    def asked() -> Rows:
        return kept().own()

    return asked


def narrowed(rows: Rows, by: Callable[[Rows], Rows]) -> Rows:
    """Rows by one more condition, a function of a module; of what is put together once, that is as well."""
    of: PutTogether | None = getattr(rows, "put_together", None)
    return of.narrowed(by) if of else by(rows)


class Words:
    """A question in SQL, asked as Django would ask it."""

    def __init__(self, rows: QuerySet[Any]) -> None:
        self.rows, self._compiler = rows, rows.query.get_compiler(using=rows.db)
        self.sql, given = self._compiler.as_sql()
        self.values: tuple[Any, ...] = tuple(given)

    def compiler(self, values: tuple[Any, ...]) -> Any:
        """One of the asker's own, for a thread has its own connection."""
        asked = copy(self._compiler)
        asked.connection = connections[self.rows.db]
        asked.as_sql = lambda *args, **kwargs: (self.sql, values)
        return asked

    def tuples(self) -> list[tuple[Any, ...]]:
        """The rows as `values_list` gives them."""
        return list(self.compiler(self.values).results_iter(tuple_expected=True))


class PutTogether:
    """A question that a list asks, and in what words: of its rows by keys, of their places, of their number."""

    KEPT = 8
    """Of each: a list has a first page, and few that are turned to."""

    def __init__(self, rows: Any) -> None:
        self._rows = rows
        self.of_keys = OfKeys(lambda keys: rows.order_by().filter(pk__in=keys), numbers=self.KEPT)
        self._narrowed = lru_cache(maxsize=self.KEPT)(lambda by: PutTogether(by(rows)))
        self._worded = lru_cache(maxsize=self.KEPT)(lambda asked, vendor, *of: Words(asked(rows, *of)))

    def own(self) -> Any:
        """The question for one who asks."""
        rows = self._rows.all()
        rows.put_together = self
        return rows

    def narrowed(self, by: Callable[[Any], Any]) -> Any:
        return self._narrowed(by).own()

    def words(self, asked: Callable[..., QuerySet[Any]], *of: Any) -> Words:
        """The words of what is asked of these rows by a function of a module, of plain values."""
        return self._worded(asked, connection.vendor, *of)


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


class OfKeys:
    """A question about the rows of some keys, put into SQL once for each number of keys.

    It is asked as Django would ask it, and comes to the same records. `question` depends on nothing but the keys, which
    are numbers above 0, and names them in one place.
    """

    NUMBERS = 64
    """Numbers of keys whose words are kept."""
    AT_ONCE = 900
    """Keys that one question names: a database takes so many parameters and no more."""

    def __init__(self, question: Callable[[Sequence[int]], QuerySet[Any]], numbers: int = NUMBERS) -> None:
        self._worded = lru_cache(maxsize=numbers)(lambda number, vendor: _of_stand_ins(question, number))

    def __call__(self, keys: Iterable[int]) -> list[Any]:
        """The records, with all that the question fetches beside them."""
        named = list(dict.fromkeys(keys))
        return [one for at in range(0, len(named), self.AT_ONCE) for one in self._asked(named[at : at + self.AT_ONCE])]

    def _asked(self, named: list[int]) -> list[Any]:
        words = self._worded(len(named), connection.vendor)
        rows: Any = words.rows
        # A stand-in of -1 is the first key.
        values = tuple(named[-1 - one] if type(one) is int and one < 0 else one for one in words.values)
        found = list(rows._iterable_class(_Worded(rows, words.compiler(values))))
        if rows._prefetch_related_lookups:
            prefetch_related_objects(found, *rows._prefetch_related_lookups)
        if found and (read := getattr(rows, "_after_fetch", None)):
            read(found)
        return found


def _of_stand_ins(question: Callable[[Sequence[int]], QuerySet[Any]], number: int) -> Words:
    """The words of a question of so many keys, -1 and below in their places. ValueError where another number below 0
    stands there, which a key would take the place of."""
    keys = range(-1, -1 - number, -1)
    words = Words(question(keys))
    if [one for one in words.values if type(one) is int and one < 0] != list(keys):
        raise ValueError(f"these keys are not named in one place and by themselves: {words.sql}")
    return words


class _Worded:
    """As much of a queryset as its rows are made by, with a compiler that has its words already."""

    def __init__(self, rows: Any, compiler: Any) -> None:
        self.db, self.model, self.query = rows.db, rows.model, self
        self._known_related_objects, self._compiler = rows._known_related_objects, compiler

    def get_compiler(self, using: str) -> Any:
        return self._compiler


class Related:
    """The rows that belong to a record, read together with those of others: as what `prefetch_related` leaves there.

    Whatever else is asked of them is asked of the database, of this record's rows alone.
    """

    def __init__(self, of: Model, by: Any, rows: list[Any]) -> None:
        self._of, self._by, self._rows = of, by, rows

    def __iter__(self) -> Iterator[Any]:
        return iter(self._rows)

    def __len__(self) -> int:
        return len(self._rows)

    def __getitem__(self, at: Any) -> Any:
        return self._rows[at]

    def all(self) -> Related:
        return self

    def count(self) -> int:
        return len(self._rows)

    def exists(self) -> bool:
        return bool(self._rows)

    def __reduce__(self) -> Any:
        return Related, (self._of, self._by, self._rows)

    def __getattr__(self, name: str) -> Any:
        if name.startswith("_"):
            raise AttributeError(name)
        return getattr(self._by.model._default_manager.filter(**{self._by.name: self._of}), name)


def read_related(
    records: Iterable[Model], name: str, rows: Callable[[Iterable[int]], list[Any]], to_attr: str = ""
) -> None:
    """Read what belongs to records, as `prefetch_related(name)` does; `rows` gives those of records' keys in order.

    to_attr: as what they are kept, a list, as `Prefetch` does.
    """
    of: dict[Any, list[Any]] = {}
    for record in records:
        of.setdefault(record.pk, []).append(record)
    if not of:
        return
    by = next(iter(of.values()))[0]._meta.get_field(name).field
    found: dict[Any, list[Any]] = {key: [] for key in of}
    for row in rows(of):
        key = getattr(row, by.attname)
        by.set_cached_value(row, of[key][-1])
        found[key].append(row)
    for key, same in of.items():
        for record in same:
            if to_attr:
                setattr(record, to_attr, found[key])
            else:
                record.__dict__.setdefault("_prefetched_objects_cache", {})[name] = Related(record, by, found[key])
