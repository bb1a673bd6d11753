"""What goes when the sample data goes, and what of the shop's own rests on it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.db.models import CASCADE, Field, Model, Q, QuerySet
from simple_history.models import HistoricalChanges

from specs.models import Deletable

Range = tuple[int, int]


class Going:
    """The rows that go: the sample data's own, by their ranges, and by key what hangs on them and counts no more.

    Along goes what was deleted already, what a key says is deleted with its owner, and the history of what goes.
    """

    def __init__(self, ranges: dict[type[Model], Range], kinds: list[type[Model]]) -> None:
        self._ranges = ranges
        self._kinds = kinds
        self._besides: dict[type[Model], set[int]] = {}
        self._resting: dict[tuple[type[Model], int], str] = {}
        while self._look():
            self._resting.clear()

    def models(self) -> list[type[Model]]:
        """Every kind of which a row goes."""
        return [model for model in self._kinds if model in self._ranges or self._besides.get(model)]

    def rows(self, model: type[Model]) -> QuerySet[Any]:
        """The rows of a kind that go."""
        return model._base_manager.filter(self._in("pk", model))

    def resting(self) -> list[str]:
        """Return in words each row that still counts, does not go, and names one that does."""
        return sorted(self._resting.values())

    def _in(self, name: str, model: type[Model]) -> Q:
        found = Q(**{f"{name}__in": self._besides.get(model, set())})
        if model not in self._ranges:
            return found
        first, last = self._ranges[model]
        return found | Q(**{f"{name}__gte": first, f"{name}__lte": last})

    def _look(self) -> bool:
        """Look at every key once; whether anything more goes than was known."""
        histories = [model for model in self._kinds if issubclass(model, HistoricalChanges)]
        found = [self._take_history(model) for model in histories]
        found += [self._follow(model, field) for model in self._kinds for field in self._keys(model)]
        return any(found)

    def _take_history(self, model: Any) -> bool:
        """The history of what goes goes along, whoever wrote it."""
        rows = model._base_manager.filter(self._in("id", model.instance_type)).exclude(self._in("pk", model))
        keys = set(rows.values_list("pk", flat=True))
        self._besides.setdefault(model, set()).update(keys)
        return bool(keys)

    def _keys(self, model: type[Model]) -> Iterator[Field[Any, Any]]:
        """The keys of a kind that the database enforces and that lead to what goes."""
        for field in model._meta.concrete_fields:
            led_to = field.related_model
            enforced = field.is_relation and getattr(field, "db_constraint", True)
            if enforced and (led_to in self._ranges or self._besides.get(led_to)):  # type: ignore[arg-type]
                yield field

    def _follow(self, model: type[Model], field: Any) -> bool:
        rows = model._base_manager.filter(self._in(field.attname, field.related_model))
        more = False
        for row in rows.exclude(self._in("pk", model)):
            if self._goes_along(row, field):
                self._besides.setdefault(model, set()).add(row.pk)
                more = True
            else:
                self._resting[model, row.pk] = _words(row, field)
        return more

    def _goes_along(self, row: Any, field: Any) -> bool:
        deleted = isinstance(row, Deletable) and row.is_deleted
        cascades = field.remote_field.on_delete is CASCADE and not row._meta.auto_created
        return deleted or (cascades and not isinstance(row, HistoricalChanges))


def _words(row: Any, field: Any) -> str:
    if isinstance(row, HistoricalChanges):
        return f"{row.instance_type._meta.verbose_name} {row.instance}, changed by {getattr(row, field.name)}"
    if row._meta.auto_created:  # a link between two records
        ends = [getattr(row, one.name) for one in row._meta.concrete_fields if one.is_relation]
        return " with ".join(f"{end._meta.verbose_name} {end}" for end in ends)
    return f"{row._meta.verbose_name} {row}"
