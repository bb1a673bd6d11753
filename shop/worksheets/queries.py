"""Named questions about worksheets and what was accepted of them."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models import Prefetch

from specs.models import DeletableQuerySet, Hole
from specs.queries import dimensions_with_readings


def what_states_read() -> tuple[Prefetch, ...]:
    """What working out worksheets reads, the same number of queries for any number of them.

    Inputs with their persons and patterns; the patterns' holes; the dimensions; their readings; the last record
    accepted of each worksheet, with its person.
    """
    from shop.worksheets.models import AcceptedRecord, WorksheetInput

    inputs = WorksheetInput.objects.select_related("person", "pattern__component", "pattern__person").prefetch_related(
        Prefetch("dimension", dimensions_with_readings()), Prefetch("pattern__holes", Hole.objects.order_by("pk"))
    )
    last = AcceptedRecord.objects.last_of_each().select_related("person")
    return Prefetch("inputs", inputs), Prefetch("accepted", last, to_attr="last_accepted")


class WorksheetQuerySet(DeletableQuerySet):
    def for_states(self):
        """Worksheets with everything that working them out reads."""
        return self.select_related("component").prefetch_related(*what_states_read())

    def taken_from(self, dimension):
        """Worksheets that take an input from a dimension."""
        return self.filter(inputs__dimension=dimension).distinct()


class Kept(TypeError):
    """What was accepted is evidence: it is neither changed nor deleted."""


class AcceptedRecordQuerySet(models.QuerySet):
    def last_of_each(self) -> AcceptedRecordQuerySet:
        """The last record of each worksheet."""
        last = self.model._default_manager.order_by().values("worksheet").annotate(last=models.Max("pk"))
        return self.filter(pk__in=last.values("last"))

    def update(self, **changes: Any):
        raise Kept("An accepted record cannot be changed; accept the worksheet again.")

    def delete(self):
        raise Kept("An accepted record cannot be deleted.")
