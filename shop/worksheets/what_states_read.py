"""What working out worksheets reads."""

from __future__ import annotations

from typing import Any

from django.db.models import Prefetch

from shop.base.roles import NAMES
from shop.vehicles.models import Fitted
from shop.worksheets.models import AcceptedRecord, Worksheet, WorksheetInput, WorksheetQuerySet
from specs.models import Hole
from specs.queries import dimensions_with_readings, newer_pattern

# The vehicle of each job of a worksheet with what is in it, and what is set aside.
_WHAT_PIECES_READ = (
    Prefetch("jobs__vehicle__fitted", Fitted.objects.in_now().select_related("specimen")),
    "jobs__set_aside__specimen",
)
ELSEWHERE = Fitted.objects.in_now().select_related("vehicle")
"""Where the piece is now that a reading was taken of."""


def for_states(worksheets: WorksheetQuerySet) -> WorksheetQuerySet:
    """Worksheets with everything that working them out reads."""
    return worksheets.select_related("component").prefetch_related(*what_states_read())


def what_states_read() -> tuple[Prefetch | str, ...]:
    """What working out worksheets reads, the same number of queries for any number of them.

    Inputs with their persons and patterns; the patterns' holes; the dimensions; their readings; the last record
    accepted of each worksheet, with its person; the pieces of its jobs.
    """
    inputs = WorksheetInput.objects.with_only("person", *NAMES).with_only("pattern__person", *NAMES)
    inputs = inputs.prefetch_related(
        Prefetch("dimension", dimensions_with_readings()),
        Prefetch("dimension__measurements__specimen__fitted", ELSEWHERE),
    )
    last = AcceptedRecord.objects.last_of_each().with_only("person", *NAMES)
    own = Prefetch("component__dimensions", dimensions_with_readings())
    return *of_sheets(inputs, last), Prefetch("jobs__steps", hand_overs()), own


def of_sheets(inputs: Any, last: Any) -> tuple[Prefetch | str, ...]:
    """What is read of worksheets themselves and of the pieces of their jobs, beside what was measured; `last` is the
    last record accepted of each."""
    inputs = inputs.select_related("pattern__component", "pattern__specimen")
    inputs = inputs.annotate(newer_pattern=newer_pattern("pattern")).prefetch_related(
        Prefetch("pattern__holes", Hole.objects.order_by("pk")), Prefetch("pattern__specimen__fitted", ELSEWHERE)
    )
    of_plates = Prefetch("making"), Prefetch("left_out")  # kept beside a worksheet by the room above
    return (
        Prefetch("inputs", inputs),
        Prefetch("accepted", last, to_attr="last_accepted"),
        *of_plates,
        *_WHAT_PIECES_READ,
    )


def hand_overs() -> Any:
    """The steps that say whether a job was handed over: what else is done in it moves nothing."""
    # Jobs are a room above this one.
    jobs: Any = Worksheet._meta.get_field("jobs").related_model
    steps = jobs._meta.get_field("steps").related_model.objects.filter(hazard="hands over")
    return steps.only("job_id", "hazard", "finished_at", "deleted_at")
