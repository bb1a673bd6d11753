"""Named questions about worksheets and what was accepted of them."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models import Prefetch

from specs.models import Hole, WithdrawableQuerySet


class WorksheetQuerySet(WithdrawableQuerySet):
    def with_inputs(self):
        """Worksheets with everything that working them out reads, but the readings: four queries for any number."""
        from shop.worksheets.models import WorksheetInput

        inputs = WorksheetInput.objects.select_related(
            "person", "dimension__component", "pattern__component", "pattern__person"
        )
        holes = Prefetch("pattern__holes", Hole.objects.order_by("pk"))
        return self.select_related("component").prefetch_related(Prefetch("inputs", inputs.prefetch_related(holes)))

    def taken_from(self, dimension):
        """Worksheets that take an input from a dimension."""
        return self.filter(inputs__dimension=dimension).distinct()


class Kept(TypeError):
    """What was accepted is evidence: it is neither changed nor deleted."""


class AcceptedRecordQuerySet(models.QuerySet):
    def latest_of(self, worksheets) -> dict[int, Any]:
        """The last record of each worksheet that has one, by the worksheet's key; one query."""
        last = (
            self.filter(worksheet__in=[worksheet.pk for worksheet in worksheets])
            .order_by()
            .values("worksheet")
            .annotate(last=models.Max("pk"))
            .values("last")
        )
        records: Any = self.filter(pk__in=last).select_related("person")
        return {record.worksheet_id: record for record in records}

    def update(self, **changes):
        raise Kept("An accepted record cannot be changed; accept the worksheet again.")

    def delete(self):
        raise Kept("An accepted record cannot be deleted.")
