"""Which pieces a job has, and whether they are still those that a signature or a finished step rests on."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Container, Iterable, Mapping
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.base import written
from shop.jobs.models import Job, SetAside, Step
from shop.vehicles.models import Fitted


@dataclass(frozen=True)
class Piece:
    """One piece that a job has: fitted in its vehicle, since a day where that is known, or set aside for it.

    `ours` are those of this job: set aside for it, or fitted since it was opened. `entry` is the key of the entry that
    says that it is in the vehicle, None while it is set aside: taken out and fitted again it has another.
    """

    specimen: int
    component: int
    words: str
    since: str = ""
    ours: bool = True
    entry: int | None = None


Pieces = dict[int, Piece]


def pieces_of(jobs: Iterable[int]) -> dict[int, Pieces]:
    """The pieces of jobs by specimen, in a constant number of queries.

    Those of a job that was handed over are those that its vehicle left with: what is swapped on a later day belongs
    to another job.
    """
    found = list(Job.objects.filter(pk__in=list(jobs)).only("pk", "vehicle", "opened_on"))
    left = _handed_over(found)
    fitted: dict[int, list[Fitted]] = defaultdict(list)
    for one in Fitted.objects.active().filter(vehicle__in={job.vehicle_id for job in found}).with_component():
        fitted[one.vehicle_id].append(one)
    aside: dict[int, list[SetAside]] = defaultdict(list)
    ready = SetAside.objects.active().filter(job__in=found).select_related("specimen__component")
    for piece in ready:
        aside[piece.job_id].append(piece)
    return {job.pk: _pieces(job, fitted[job.vehicle_id], aside[job.pk], left.get(job.pk)) for job in found}


def _handed_over(jobs: list[Job]) -> dict[int, date]:
    steps = Step.objects.active().filter(job__in=jobs, hazard="hands over", finished_at__isnull=False)
    return {job: localtime(at).date() for job, at in steps.values_list("job", "finished_at")}


def _pieces(job: Job, fitted: Iterable[Fitted], aside: Iterable[SetAside], left_on: date | None) -> Pieces:
    found = {one.specimen_id: _piece(one.specimen) for one in aside}
    for one in fitted:
        was_in = one.until is None or (left_on is not None and one.until > left_on)
        if was_in and not (left_on and one.since and one.since > left_on):
            ours = one.since is not None and one.since >= job.opened_on
            found[one.specimen_id] = _piece(one.specimen, one.since, ours, one.pk)
    return found


def _piece(specimen: Any, since: date | None = None, ours: bool = True, entry: int | None = None) -> Piece:
    words, day = str(specimen), since.isoformat() if since else ""
    return Piece(specimen.pk, specimen.component_id, words, day, ours, entry)


def kept(pieces: Pieces) -> list[dict[str, Any]]:
    """Pieces as they are kept with a signature or a finished step."""
    return [asdict(piece) for piece in pieces.values()]


def why_other_pieces(
    before: Iterable[Mapping[str, Any]] | None, now: Pieces, on: date, *, components: Container[int], whole: bool
) -> str:
    """Say which piece is another than those kept on a day, or "" where they are the same, or none were kept.

    With `whole` every piece counts; else those of these components, and the job's own pieces that are gone.
    """
    if before is None:
        return ""
    then = {piece["specimen"]: piece for piece in before}
    for key, piece in then.items():
        if key not in now and (whole or piece["ours"] or piece["component"] in components):
            return gettext("{piece} is not in this vehicle any more").format(piece=piece["words"])
    for key, new in now.items():
        counts = whole or new.component in components
        if counts and new.since >= on.isoformat() and not _same_fitting(then.get(key), new):
            again, once = gettext("{piece} was fitted again on {day}"), gettext("{piece} was fitted on {day}")
            day = written.day(date.fromisoformat(new.since))
            return (again if key in then else once).format(piece=new.words, day=day)
    return ""


def _same_fitting(before: Mapping[str, Any] | None, now: Piece) -> bool:
    """Whether a piece is where it was, or was set aside before and went in since: nothing was undone for it."""
    if before is None:
        return False
    if before.get("entry") is None:  # Set aside, or kept before entries were: then a day tells them apart.
        return bool(before["ours"] and not before["since"]) or before["since"] == now.since
    return bool(before["entry"] == now.entry)
