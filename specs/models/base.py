"""What every record of the shop has in common: a version that edits must name, and deletion in place of deletion."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import islice
from typing import Any, Self

from django.conf import settings
from django.db import models, transaction
from django.db.models.base import ModelState
from django.utils.translation import gettext, gettext_lazy

DEFAULT_CHUNK = 2_000
"""Rows that are fetched at a time by who does not say how many: as Django does."""


class Stale(Exception):
    """Somebody else saved this record since it was read; nothing was written."""

    def __init__(self, record: models.Model) -> None:
        super().__init__(
            gettext("{verbose_name} {pk} was changed meanwhile").format(
                verbose_name=record._meta.verbose_name, pk=record.pk
            )
        )
        self.record = record


class Stored(models.Model):
    """A record that is made of a row of the database in a third of the time, for a list makes two hundred of them.

    Nothing is asked that only a new record has: defaults, and `pre_init` and `post_init`, which nobody hears. What was
    not read of the row is fetched when it is asked for, as always.
    """

    class Meta:
        abstract = True

    @classmethod
    def from_db(cls, db: str | None, field_names: Iterable[str], values: Iterable[Any], **state: Any) -> Self:
        made = cls.__new__(cls)
        made._state = known = ModelState()
        known.db, known.adding = db, False
        for name, given in state.items():  # what later versions of Django keep there
            if given is not None:
                setattr(known, name, given)
        made.__dict__.update(zip(field_names, values, strict=True))
        return made


class Versioned(Stored):
    """A record whose every save compares the version read with the version stored, in the database.

    `version` starts at 1 and rises by one with each save. A save from an older reading raises `Stale` and writes
    nothing, so two people changing the same record can never overwrite each other unseen. Forms set `version` to the
    number they carried; other writers simply read, change and save.
    """

    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if self._state.adding:
            super().save(*args, **kwargs)
            return
        seen = self.version
        try:
            with transaction.atomic():
                self._take_version(seen)
                if kwargs.get("update_fields") is not None:
                    kwargs["update_fields"] = {*kwargs["update_fields"], "version"}
                super().save(*args, **kwargs)
        except BaseException:
            self.version = seen
            raise

    def _take_version(self, seen: int) -> None:
        # The one UPDATE that must not go through save(): it decides, inside the database, who was first.
        rows = type(self)._base_manager.filter(pk=self.pk, version=seen)
        if rows.update(version=seen + 1) != 1:
            raise Stale(self)
        self.version = seen + 1


class FetchedQuerySet(models.QuerySet):
    """Rows to which something is read together once they are fetched."""

    _after_fetch: Callable[[list[Any]], None] | None = None

    def after_fetch(self, read: Callable[[list[Any]], None]) -> Self:
        """The same records, handed together to `read` once they are fetched, as related rows are prefetched."""
        rows = self.all()
        rows._after_fetch = read
        return rows

    def with_only(self, relation: str, *names: str) -> Self:
        """The same records, each with a related one (`dimension__component`) of which these fields are read.

        What else is asked of the related record is read when it is asked for, a query a record.
        """
        model: Any = self.model
        for part in relation.split("__"):
            model = model._meta.get_field(part).related_model
        kept = {*names, model._meta.pk.name}
        left_out = [f"{relation}__{one.name}" for one in model._meta.concrete_fields if one.name not in kept]
        return self.select_related(relation).defer(*left_out)

    def _clone(self) -> Self:
        clone = super()._clone()  # type: ignore[misc]
        clone._after_fetch = self._after_fetch
        return clone

    def _fetch_all(self) -> None:
        fetched = self._result_cache is not None
        super()._fetch_all()
        if self._after_fetch and not fetched:
            records = [row for row in self._result_cache or () if isinstance(row, self.model)]
            if records:  # for keys alone there is nothing to read
                self._after_fetch(records)

    def iterator(self, chunk_size: int | None = None) -> Iterator[Any]:
        rows = super().iterator(chunk_size)
        return self._in_chunks(rows, chunk_size or DEFAULT_CHUNK) if self._after_fetch else rows

    def _in_chunks(self, rows: Iterator[Any], size: int) -> Iterator[Any]:
        assert self._after_fetch
        while chunk := list(islice(rows, size)):
            self._after_fetch([row for row in chunk if isinstance(row, self.model)])
            yield from chunk


class DeletableQuerySet(FetchedQuerySet):
    def active(self) -> Self:
        """The records that nobody has deleted."""
        return self.filter(deleted_at=None)


class Deletable(Stored):
    """Nothing recorded is deleted by a page: it is deleted by somebody, with a reason, and stays readable."""

    deleted_reason = models.TextField(gettext_lazy("why it was deleted"), blank=True)
    deleted_at = models.DateTimeField(null=True, blank=True, editable=False)
    deleted_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=models.Q(deleted_at=None, deleted_reason="")
                | (models.Q(deleted_at__isnull=False) & ~models.Q(deleted_reason="")),
                name="%(class)s_deleted_with_reason",
            )
        ]

    @property
    def is_deleted(self) -> bool:
        return self.deleted_at is not None
