"""A place in a list, named by what its order reads of the row beside it, and the rows that come after or before it.

Pages that are counted off (`OFFSET`) cost more the deeper they lie, and show a row twice or never when one is added or
deleted meanwhile. A place stays where it is whatever is written, and is found by the index that the list is ordered by
(keyset pagination).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import Any

from django.core.exceptions import FieldDoesNotExist, ValidationError
from django.core.validators import DecimalValidator
from django.db.models import DecimalField, Q, QuerySet

Place = tuple[Any, ...]
"""What a list's order reads of one row, its key last."""


@dataclass(frozen=True)
class SortKey:
    """One column that rows are sorted by."""

    path: str
    descending: bool
    field: Any

    def beyond(self, value: Any, onward: bool, equal: str = "") -> Q:
        """The rows whose value comes later, or earlier, in the order; with `equal` "e" those of the same as well."""
        side = "gt" if onward is not self.descending else "lt"
        return Q(**{f"{self.path}__{side}{equal}": value})


def sort_keys(rows: QuerySet[Any]) -> tuple[SortKey, ...]:
    """What rows are sorted by, up to their key; nothing where no place among them can be named so.

    That is where they are sorted by an expression, by what may be empty, by a record whose own order Django puts in its
    place, or not to the last one.
    """
    keys: list[SortKey] = []
    for name in rows.query.order_by:
        found = _sort_key(rows, name) if isinstance(name, str) else None
        if found is None:
            return ()
        keys.append(found)
        if found.field is rows.model._meta.pk:
            return tuple(keys)
    return ()


def _sort_key(rows: QuerySet[Any], name: str) -> SortKey | None:
    path = name.removeprefix("-")
    field, model = None, rows.model
    for part in path.split("__"):
        if part in rows.query.annotations or model is None:
            return None
        try:
            field = model._meta.pk if part == "pk" else model._meta.get_field(part)
        except FieldDoesNotExist:
            return None
        if not field.concrete or field.null or field.many_to_many:
            return None
        model = field.related_model
    return None if model else SortKey(path, name.startswith("-"), field)


def beside(rows: QuerySet[Any], keys: Sequence[SortKey], place: Place, onward: bool) -> QuerySet[Any]:
    """The rows after a place, or those before it with the nearest first."""
    found = rows.filter(_beyond(keys, place, onward))
    return found if onward else found.reverse()


def _beyond(keys: Sequence[SortKey], place: Place, onward: bool) -> Q:
    condition = Q()
    for key, value in zip(reversed(keys), reversed(place), strict=True):
        same = Q(**{key.path: value}) & condition if condition else condition
        condition = key.beyond(value, onward) | same
    # Says nothing new, but only a bound of its own, outside any "or", has the databases enter an index there.
    return keys[0].beyond(place[0], onward, equal="e") & condition


def written_place(place: Place) -> list[str]:
    """A place as an address says it, a word for each column."""
    return [one.isoformat() if isinstance(one, date) else str(one) for one in place]


def read_place(keys: Sequence[SortKey], words: Sequence[str]) -> Place | None:
    """The place that an address names; None where it names none of this order."""
    if not keys or len(words) != len(keys):
        return None
    try:
        return tuple(_value(key.field, word) for key, word in zip(keys, words, strict=True))
    except (ValidationError, ValueError, OverflowError):
        return None


def _value(field: Any, word: str) -> Any:
    value = field.to_python(word)
    if isinstance(field, DecimalField):
        DecimalValidator(field.max_digits, field.decimal_places)(value)
    if isinstance(value, datetime):
        if value.tzinfo is None:
            raise ValueError("a moment without its time zone")
        value = value.astimezone(UTC)
    if value is None:
        raise ValueError("nothing")
    return value
