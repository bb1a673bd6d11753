"""What is done to many readings at once."""

from __future__ import annotations

from typing import Any

from shop.base.bulk import BulkList, deletes
from shop.base.forms import ReasonForm
from shop.base.language import gettext_lazy
from shop.base.undo import undo_deletion
from shop.measuring.changes import delete_with_reason
from shop.measuring.reading_table import Readings
from specs.models import Measurement


def all_readings() -> Any:
    """The readings that nobody deleted."""
    return Measurement.objects.active().select_related("dimension__component", "specimen__component", "person")


BULK = [
    BulkList(
        "measuring.reading",
        all_readings,
        (
            deletes(
                "measuring.judge",
                delete_with_reason,
                undo_deletion,
                ReasonForm,
                note=gettext_lazy("Worksheets that take a figure from them say that it changed."),
            ),
        ),
        table=lambda rows, today: Readings(rows),
    )
]
