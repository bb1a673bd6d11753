"""Finding records by fragments of what people remember: part of a name, a number typed without its separators.

Each area declares what can be found in it in ``shop/<area>/search.py``::

    SEARCHED = [Searched("Vehicle", order=10, model=Vehicle, numbers=lambda vehicle: (vehicle.registration,))]

What each record is found by is kept in an index (`shop.base.search_index`) and asked by `shop.base.search_results`;
lists filter their own rows by `matching`.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache, reduce
from operator import and_, or_
from typing import Any

from django.db.models import F, Model, Q, QuerySet, TextField, Value
from django.db.models.expressions import Combinable
from django.db.models.functions import Cast, Concat, Lower, Replace

from shop.base.declared import declared
from specs.models.base import Deletable, DeletableQuerySet

SEPARATORS = (" ", "-", ".", "/")


def without_separators(*fields: str) -> Combinable:
    """The fields run together in lower case, less the marks people leave out when they search."""
    expression: Combinable = Cast(F(fields[0]), TextField())
    for field in fields[1:]:
        expression = Concat(expression, F(field), output_field=TextField())
    for mark in SEPARATORS:
        expression = Replace(expression, Value(mark), Value(""), output_field=TextField())
    return Lower(expression)


def squeezed(text: str) -> str:
    """What was typed in a search box, less the same marks."""
    for mark in SEPARATORS:
        text = text.replace(mark, "")
    return text.strip().lower()


def matching(rows: QuerySet[Any], fields: tuple[str, ...], text: str) -> QuerySet[Any]:
    """The rows holding every word typed, or the whole text, in any of the fields; separators may be left out or in."""
    words = text.split()
    if not words:
        return rows.none()
    found = reduce(and_, (_holds(word, fields) for word in words)) | _holds(text, fields)
    return rows.alias(run_together=without_separators(*fields)).filter(found)


def _holds(text: str, fields: tuple[str, ...]) -> Q:
    in_a_field = reduce(or_, (Q((f"{field}__icontains", text)) for field in fields))
    joined = squeezed(text)
    return in_a_field | Q(run_together__contains=joined) if joined else in_a_field


def _nothing(record: Any) -> tuple[str, ...]:
    return ()


@dataclass(frozen=True)
class Searched:
    """One kind of record that the search page finds: its model, its heading in the singular, its place among equals.

    name: what it is called. words: other text it is found by. numbers: what stands on paper or on the part, found
    exactly and before all else. note: what it is of, and its state where `state` has none. state: a mark (one of
    `shop.base.rows.MARKS`, or "") and its state or figure in a word, at the right of the row. read: the query that
    names and words are read with; show: what the state is read with, for the few that are shown. told_by: models whose
    records lend it words, each with the keys of the records that one touches. action: what a person must be allowed to
    do to be shown it.
    """

    title: str
    order: int
    model: type[Model]
    name: Callable[[Any], str] = str
    words: Callable[[Any], Iterable[str]] = _nothing
    numbers: Callable[[Any], Iterable[str]] = _nothing
    note: Callable[[Any], str] = lambda record: ""
    state: Callable[[Any], tuple[str, str]] = lambda record: ("", "")
    read: Callable[[Any], QuerySet[Any]] = lambda rows: rows
    show: Callable[[Any], QuerySet[Any]] = lambda rows: rows
    told_by: tuple[tuple[type[Model], Callable[[Any], Iterable[int]]], ...] = ()
    action: str = ""
    address: Callable[[Any], str] = lambda record: record.get_absolute_url()

    @property
    def label(self) -> str:
        """The name under which the index keeps it."""
        return str(self.model._meta.label_lower)

    def is_deleted(self, record: Any) -> bool:
        """Whether somebody deleted the record."""
        return isinstance(record, Deletable) and record.is_deleted

    def everything(self) -> QuerySet[Any]:
        """Every record of it, deleted ones too, read as its words need."""
        return self.read(self.model._default_manager.order_by("pk"))

    def of_keys(self, keys: Iterable[int]) -> QuerySet[Any]:
        """The records of these keys."""
        return self.everything().filter(pk__in=keys)


@cache
def kinds() -> tuple[Searched, ...]:
    """Every kind of record that the areas declare, in order."""
    return tuple(sorted(declared("search", "SEARCHED"), key=lambda kind: kind.order))


class SearchQuerySet(DeletableQuerySet):
    """Finds by fragments, in any order, and by numbers typed without their separators."""

    searched: tuple[str, ...] = ()

    def search(self, text: str):
        """Rows holding every word typed, or the whole text; separators may be left out or put in."""
        return matching(self, self.searched, text)
