"""Finding records by fragments of what people remember: part of a name, a number typed without its separators.

Each area declares what can be found in it in ``shop/<area>/search.py``::

    SEARCHED = [Searched("Vehicles", order=10, find=lambda text: Vehicle.objects.search(text))]
"""

from collections.abc import Callable
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


@dataclass(frozen=True)
class Searched:
    """One kind of record that the search page looks through: its heading, its place, and how it is found.

    find: every record that holds a text, deleted ones among them. note: a further word, such as a component's kind.
    """

    title: str
    order: int
    find: Callable[[str], QuerySet[Any]]
    note: Callable[[Any], str] = lambda record: ""


@dataclass(frozen=True)
class Hits:
    """What was found of one kind, and whether there is more than is shown."""

    title: str
    records: tuple[tuple[Model, str], ...]
    more: bool


@cache
def kinds() -> tuple[Searched, ...]:
    """Every kind of record that the areas declare, in order."""
    return tuple(sorted(declared("search", "SEARCHED"), key=lambda kind: kind.order))


def search(text: str, most: int = 20, *, deleted: bool = False) -> tuple[Hits, ...]:
    """What every kind holds of the text, or held until it was deleted, at most so many of each; one query a kind."""
    return tuple(hits for kind in kinds() if (hits := _hits(kind, text, most, deleted)).records)


def _hits(kind: Searched, text: str, most: int, deleted: bool) -> Hits:
    found = kind.find(text)
    if issubclass(found.model, Deletable):
        found = found.filter(deleted_at__isnull=not deleted)
    elif deleted:
        found = found.none()
    records = list(found[: most + 1])
    return Hits(kind.title, tuple((record, kind.note(record)) for record in records[:most]), len(records) > most)


class SearchQuerySet(DeletableQuerySet):
    """Finds by fragments, in any order, and by numbers typed without their separators."""

    searched: tuple[str, ...] = ()

    def search(self, text: str):
        """Rows holding every word typed, or the whole text; separators may be left out or put in."""
        return matching(self, self.searched, text)
