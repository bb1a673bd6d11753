"""What keeps a step, a job, from being done although the work is: one rule for page, list, filter, Today and card."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from django.db import connection
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.lot_marks import LOT
from shop.base.unchanged import while_unchanged
from shop.jobs import rules
from shop.jobs.models import Decision, Job, JobTorque, RegulatedItem, Step, StepNeed
from shop.jobs.network import Network, networks
from shop.jobs.points import DoubtedStep, OpenPoints, Point
from shop.jobs.proofs import Points, proof_points
from shop.jobs.queries import JobQuerySet
from shop.jobs.resting import JOBS, to_look_at
from shop.jobs.rules import WHOLE_JOB
from shop.jobs.specified_torque import specified_in
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.today import Brief, briefs, briefs_and_states

BATCH = LOT
"""Jobs that are read together: all of ten years at once are more keys than a database takes in one question."""
NEIGHBOURS, MOST_PARTS = 16, 5
"""Jobs with so many numbers are looked at together on a page, and so many times at most."""
LOTS = 8
"""Lots of jobs that are looked at together: where nothing was written of any of their jobs, none is looked at."""


def points_of(jobs: Iterable[int], today: date) -> dict[int, tuple[Point, ...]]:
    """What is open in jobs beyond steps that are not finished yet, by job, in a constant number of queries.

    Finished steps to be checked again, with the cause; then worksheets that do not hold, approvals, torque specs that
    stand on no step, and questions that nobody answered.
    """
    keys = list(jobs)
    found: dict[int, tuple[Point, ...]] = {}
    for batch in (keys[at : at + BATCH] for at in range(0, len(keys), BATCH)):
        found |= _points_of(batch, today)[1]
    return found


def network_with_points(job: Job, today: date) -> tuple[Network, tuple[Point, ...], Mapping[int, EvaluatedWorksheet]]:
    """The network of a job, what is open in it, and how the worksheets stand, each worked out once for all three."""
    links = _linked([job.pk])
    sheets, states = briefs_and_states(_sheets_of([job.pk], links))
    known = networks([job.pk], today, sheets={key: state.status for key, state in states.items()})
    return known[job.pk], _points(known, _not_held_in(links, sheets))[job.pk], states


def _points_of(keys: list[int], today: date) -> tuple[dict[int, Network], dict[int, tuple[Point, ...]]]:
    """The networks of jobs and their points; each worksheet is worked out once for both."""
    links = _linked(keys)
    sheets = briefs(_sheets_of(keys, links), today)
    statuses = {key: sheet.status for key, sheet in sheets.items() if sheet.status}
    known = networks(keys, today, sheets=statuses)
    return known, _points(known, _not_held_in(links, sheets))


def _points(known: Mapping[int, Network], not_held: Mapping[int, list[str]]) -> dict[int, tuple[Point, ...]]:
    keys = list(known)
    again = {
        step: status.reasons
        for network in known.values()
        for step, status in network.statuses.items()
        if status.state is rules.StepState.CHECK
    }
    found: dict[int, list[Point]] = {key: [] for key in keys}
    finished = Step.objects.filter(pk__in=list(again), finished_at__isnull=False) if again else Step.objects.none()
    for job, pk, title, person, finisher in finished.values_list("job", "pk", "title", "person", "finished_by"):
        step = DoubtedStep(pk, title, person, finisher)
        found[job] += [Point(words, step) for words in dict.fromkeys(again[pk])]
    for whole in (not_held, _job_points_kept(tuple(keys))):
        for key, said in whole.items():
            found[key] += [Point(words) for words in said]
    return {key: tuple(points) for key, points in found.items()}


@dataclass(frozen=True, eq=False)
class EveryJob:
    """What `points_of` says of every job, and the networks of those with work left: `open` holds their keys."""

    points: Mapping[int, tuple[Point, ...]]
    networks: Mapping[int, Network]

    @property
    def open(self) -> Collection[int]:
        return self.networks.keys()


@while_unchanged
def every_job(today: date) -> EveryJob:
    """Ask the rule about every job once, for a page that shows several things that rest on it."""
    last = Job.objects.order_by("-pk").values_list("pk", flat=True).first() or 0
    points: dict[int, tuple[Point, ...]] = {}
    going: dict[int, Network] = {}
    for at in range(last // (JOBS * LOTS) + 1):
        some = _some_jobs(at, today)
        points |= some.points
        going |= some.networks
    return EveryJob(points, going)


@while_unchanged
def _some_jobs(at: int, today: date) -> EveryJob:
    """As `every_job`, of the jobs of so many lots."""
    points: dict[int, tuple[Point, ...]] = {}
    going: dict[int, Network] = {}
    for lot in range(at * LOTS, (at + 1) * LOTS):
        # Apart: what is written about an open job leaves what finished ones still owe as it was.
        for finished, keys in enumerate(to_look_at(lot)):
            for batch in _batches(keys):
                left, found = _owing(batch, today, finished=bool(finished))
                going |= left
                points |= found
    return EveryJob(dict(sorted(points.items())), dict(sorted(going.items())))


def _batches(keys: Iterable[int]) -> Iterator[tuple[int, ...]]:
    """Those of neighbouring numbers together, so that a new job leaves the others with whom they were."""
    for _, batch in groupby(keys, lambda key: key // BATCH):
        yield tuple(batch)


Owing = tuple[dict[int, Network], dict[int, tuple[Point, ...]]]
"""The networks of jobs with work left, and the points of those that have any."""


@while_unchanged
def _owing(keys: tuple[int, ...], today: date, *, finished: bool) -> Owing:
    """`finished`: all steps of all these jobs are. Then few of them have any work left."""
    known, found = _points_of(list(keys), today)
    points = {key: said for key, said in found.items() if said}
    return {key: known[key] for key in points} if finished else known, points


def open_jobs(jobs: JobQuerySet) -> JobQuerySet:
    """Jobs with work left: a step unfinished or to be checked again, a point of the job open, or no step at all."""
    return jobs.active().filter(pk__in=every_job(timezone.localdate()).open)


def done_jobs(jobs: JobQuerySet) -> JobQuerySet:
    """Jobs whose steps are all finished and that nothing else keeps open."""
    return jobs.active().exclude(pk__in=every_job(timezone.localdate()).open)


def listed(jobs: JobQuerySet) -> JobQuerySet:
    """Jobs with what their state is read from; their open points are read together when they are fetched."""
    return jobs.for_list().after_fetch(_read_points)


def _read_points(jobs: Iterable[Job]) -> None:
    points: dict[int, tuple[Point, ...]] = {}
    for some in _parts(sorted(job.pk for job in jobs if job.steps_finished)):
        points |= _points_kept(some, timezone.localdate())
    for job in jobs:
        job.points = points.get(job.pk, ())


def _parts(keys: list[int]) -> list[tuple[int, ...]]:
    """Jobs of a page by neighbouring numbers: a step that somebody finished has only its neighbours looked at. All
    together where they are far apart, and in a transaction, where nothing is kept."""
    parts = [tuple(some) for _, some in groupby(keys, lambda key: key // NEIGHBOURS)]
    return [tuple(keys)] if len(parts) > MOST_PARTS or connection.in_atomic_block else parts


@while_unchanged
def _points_kept(jobs: tuple[int, ...], today: date) -> dict[int, tuple[Point, ...]]:
    return points_of(jobs, today)


@while_unchanged
def network_and_points(job: int, today: date) -> tuple[Network, tuple[Point, ...]]:
    """The network of one job and its open points, for its page; each worksheet is worked out once for both."""
    known, points = _points_of([job], today)
    return known[job], points[job]


def open_points(step: Step, today: date) -> OpenPoints:
    """What is open in a step today, read now."""
    known = networks([step.job_id], today)[step.job_id]
    return open_in(step, today, known, proof_points([step], specified_in([step]))[step.pk])


def open_in(step: Step, today: date, known: Network, proved: Points) -> OpenPoints:
    """What is open in a step today, of what is known of its job's steps and of its signatures."""
    waits = list(_waits(step, known))
    if step.hazard in WHOLE_JOB:
        waits += worksheets_open([step.job_id], today).get(step.job_id, ())
    if step.hazard == "hands over":
        waits += _job_points_kept((step.job_id,)).get(step.job_id, ())
        waits += _other_steps(step, known)
    proofs, bad = proved
    lacking = tuple(proof.words for proof in proofs)
    return OpenPoints(
        tuple(dict.fromkeys(waits)), lacking, bad, tuple(proof.words for proof in proofs if proof.is_second)
    )


def _other_steps(step: Step, known: Network) -> Iterator[str]:
    """Every other step of the job that is not done: nothing is handed over half made."""
    for one in known.steps:
        status = known.statuses[one.key]
        if one.key != step.pk and status.state is not rules.StepState.DONE:
            again = gettext(", to be checked again") if status.state is rules.StepState.CHECK else ""
            yield f"“{one.title}”{again}"


def waiting(step: Step, today: date) -> tuple[str, ...]:
    """What a step comes after that is not done, accepted, decided or here."""
    return _waits(step, networks([step.job_id], today)[step.job_id])


def _waits(step: Step, known: Network) -> tuple[str, ...]:
    found = known.statuses[step.pk]
    return found.reasons if found.state in (rules.StepState.WAITING, rules.StepState.CANNOT) else ()


def worksheets_open(jobs: Iterable[int], today: date) -> dict[int, list[str]]:
    """The worksheets of jobs that do not hold today, deleted ones among them, by job."""
    links = _linked(jobs)
    return _not_held_in(links, briefs({sheet for _, sheet in links}, today))


def _linked(jobs: Iterable[int]) -> list[tuple[int, int]]:
    return list(Job.worksheets.through.objects.filter(job__in=jobs).values_list("job", "worksheet"))


def _sheets_of(jobs: Collection[int], links: Iterable[tuple[int, int]]) -> tuple[int, ...]:
    """The worksheets of jobs, and those that their steps need."""
    needs = StepNeed.objects.active().filter(step__job__in=jobs, step__deleted_at=None, worksheet__isnull=False)
    return tuple(sorted({*(sheet for _, sheet in links), *needs.values_list("worksheet", flat=True)}))


def _not_held_in(links: Iterable[tuple[int, int]], sheets: Mapping[int, Brief]) -> dict[int, list[str]]:
    words = {key: _not_held(sheet) for key, sheet in sheets.items()}
    open_sheets: dict[int, list[str]] = {}
    for job, sheet in links:
        if words[sheet]:
            open_sheets.setdefault(job, []).append(words[sheet])
    return open_sheets


def _not_held(sheet: Brief) -> str:
    """Why a worksheet does not hold, "" where it does."""
    if sheet.status is None:
        return gettext("the worksheet “{name}”, deleted: {deleted_reason}").format(
            name=sheet.name, deleted_reason=sheet.deleted_reason
        )
    return (
        gettext("the worksheet “{name}”, {why_not_held}").format(
            name=sheet.name, why_not_held=sheet.status.why_not_held
        )
        if sheet.status.why_not_held
        else ""
    )


def job_points(jobs: Iterable[int]) -> dict[int, list[str]]:
    """What is open in jobs as a whole, by job: approvals, torque specs that stand on no step, questions unanswered."""
    keys = list(jobs)
    points: dict[int, list[str]] = {}
    for item in RegulatedItem.objects.open().filter(job__in=keys).with_evidence().select_related(None):
        points.setdefault(item.job_id, []).append(_approval_open(item))
    for torque in JobTorque.objects.in_force().filter(job__in=keys, step=None).order_by("pk"):
        points.setdefault(torque.job_id, []).append(
            gettext("a step in which this is tightened: {torque}").format(torque=torque)
        )
    for decision in Decision.objects.active().filter(job__in=keys, decided_at=None):
        points.setdefault(decision.job_id, []).append(gettext("a decision, “{decision}”").format(decision=decision))
    return points


@while_unchanged
def _job_points_kept(jobs: tuple[int, ...]) -> dict[int, list[str]]:
    return job_points(jobs)


def _approval_open(item: RegulatedItem) -> str:
    fallen = [approval.check_again for approval in item.fallen]  # type: ignore[attr-defined]
    again = gettext(", to be given again, because {fallen}").format(fallen=fallen[-1]) if fallen else ""
    return gettext("licensed approval of {item}{again}").format(item=item, again=again)
