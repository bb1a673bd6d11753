"""Which reading a worksheet takes: one of the pieces that its jobs have, and what is doubtful about it.

Jobs, and what is set aside for them, are records of a room above; they are read through the reverse relations of the
worksheet.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from specs.engine.readings import active, is_printed
from specs.models import Component, Dimension, HolePattern, Measurement, working_value
from specs.models.reading_doubts import doubts_about
from specs.phrase import joined, phrase

if TYPE_CHECKING:
    from shop.worksheets.models import Worksheet


@dataclass(frozen=True)
class JobPieces:
    """The marks of the pieces that the jobs of a worksheet have, by component and specimen, and their vehicles."""

    marks: Mapping[int, Mapping[int, str]] = field(default_factory=dict)
    vehicles: frozenset[int] = frozenset()

    def of(self, component: int) -> Mapping[int, str]:
        return self.marks.get(component, {})


NO_JOB = JobPieces()


def job_pieces(worksheet: Worksheet) -> JobPieces:
    """The pieces of the jobs of a worksheet; those of a job that was handed over belong to other jobs since."""
    marks: dict[int, dict[int, str]] = defaultdict(dict)
    vehicles: set[int] = set()
    for job in worksheet.jobs.all():
        if job.is_deleted or any(_hands_over(step) for step in job.steps.all()):
            continue
        vehicles.add(job.vehicle_id)
        aside = (one.specimen for one in job.set_aside.all() if not one.is_deleted)
        fitted = (one.specimen for one in job.vehicle.fitted.all())
        for specimen in (*fitted, *aside):
            marks[specimen.component_id][specimen.pk] = specimen.mark
    return JobPieces(dict(marks), frozenset(vehicles))


def _hands_over(step: Any) -> bool:
    return step.hazard == "hands over" and step.is_finished and not step.is_deleted


def taken_reading(dimension: Dimension, pieces: JobPieces) -> tuple[Measurement, tuple[str, ...]] | None:
    """The reading that counts here with what is doubtful about it: the newest, or the chosen one, of the job's pieces.

    Where none of those was read it is the dimension's working value, and that is a doubt. None: never read.
    """
    working = working_value(dimension)
    if working is None:
        return None
    own = pieces.of(dimension.component_id)
    of_job = [one for one in active(dimension.measurements.all()) if one.specimen_id in own]
    chosen = [one for one in of_job if one.pk == dimension.chosen_id]
    reading = next(iter([*chosen, *of_job]), working.measurement)
    return reading, (*piece_doubts(reading, dimension.component_id, pieces), *doubts_about(dimension, reading))


def piece_doubts(read: Measurement | HolePattern, component: int, pieces: JobPieces) -> Iterator[str]:
    """Doubt that something was read of another piece than those that the jobs have."""
    own = pieces.of(component)
    named = joined(", ", (phrase("no. {mark}", mark=mark) for mark in own.values()))
    if read.specimen_id is None and is_printed(read.instrument):
        return
    if own and read.specimen_id is None:
        yield phrase("it is not said of which piece it was read; this job has {named}", named=named)
    elif own and read.specimen_id not in own:
        yield phrase("it was read of no. {mark}; this job has {named}", mark=_mark(read), named=named)
    elif len(own) > 1:
        yield phrase("it was read of no. {mark}; there are several here: {named}", mark=_mark(read), named=named)
    elif pieces.vehicles and read.specimen_id:
        assert read.specimen is not None
        for fitted in read.specimen.fitted.all():
            if fitted.vehicle_id not in pieces.vehicles:
                yield phrase(
                    "it was read of no. {mark}, which is in another vehicle, {vehicle}",
                    mark=_mark(read),
                    vehicle=str(fitted.vehicle),
                )


def _mark(read: Measurement | HolePattern) -> str:
    return read.specimen.mark if read.specimen else ""


def pattern_doubts(pattern: HolePattern, newer: Any, pieces: JobPieces) -> Iterable[str]:
    """What is doubtful about a face as it was measured: another piece's, or an elder pattern than there is."""
    yield from piece_doubts(pattern, pattern.component_id, pieces)
    if newer:
        yield phrase("this face was measured again since, and the worksheet takes the elder pattern")


def typed_beside_record(path: str, quantity: str, value: float, tolerance: float, own: Component) -> Iterator[str]:
    """Doubt about a figure that was typed although its component's own record of it is another one.

    path: of the input (`is_named`).
    """
    for dimension in own.dimensions.all():
        working = working_value(dimension)
        if working is None or not is_named(dimension, path) or dimension.kind != quantity:
            continue
        if abs(working.value - value) > working.tolerance + tolerance + 1e-9 * abs(value):
            yield phrase(
                "typed, although {dimension} is on record as {typed}",
                dimension=str(dimension),
                typed=working.measurement.typed,
            )


def is_named(dimension: Dimension, path: str) -> bool:
    """Whether a dimension is what an input asks for, by their names: its own, or one that ends with it.

    "shaft_projection" is "input shaft projection"; one word alone, such as "diameter", names nothing in particular.
    """
    asked = path.rpartition(".")[2].replace("_", " ")
    return " " in asked and f" {dimension.name.casefold()}".endswith(f" {asked}")
