"""The steps of jobs as a network of plain facts, read in a constant number of queries for any number of jobs."""

from __future__ import annotations

from collections.abc import Callable, Container, Hashable, Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType
from typing import Any

from django.utils.translation import gettext

from shop.base import written
from shop.base.language import word
from shop.base.roles import person_name
from shop.base.unchanged import while_unchanged
from shop.jobs import rules
from shop.jobs.models import Job, JobTorque, PartNeed, Step, StepNeed, StepOverride
from shop.jobs.pieces import Pieces, pieces_of
from shop.jobs.proofs import Specified, doubts_about
from shop.jobs.rules import NeedState, PartFact
from shop.jobs.specified_torque import specified_torques
from shop.jobs.step_facts import begun_of, needs_of, overrides_of, part_needs_of
from shop.worksheets.evaluation import worksheet_statuses
from shop.worksheets.models import Worksheet
from shop.worksheets.rules import WorksheetStatus
from shop.worksheets.what_states_read import for_states
from specs.row_queries import OfKeys

# Of a step; what else were asked of it would be read where it is asked. Years of finished steps are read by these.
_WHAT_DOUBTS_READ = ("job_id", "hazard", "finished_at", "pieces")
_WHAT_NETWORKS_READ = ("job_id", "title", "hazard", "finished_at", "check_again")
Keys = tuple[int, ...]


@dataclass(frozen=True)
class Network:
    """One job's current steps with the status of each today, and what is known of each part.

    The key of a need outside the network is a pair, ("part", 7), ("decision", 7), ("worksheet", 7), of primary keys.
    """

    steps: tuple[rules.StepNode, ...]
    statuses: dict[Hashable, rules.StepStatus]
    parts: dict[int, PartFact]

    def is_met(self, step: int, key: Hashable) -> bool:
        """Whether a need of a step is met: another step by its key, anything else by its pair."""
        if key in self.statuses:
            return self.statuses[key].state is rules.StepState.DONE
        plain = next(one for one in self.steps if one.key == step)
        return any(need.key == key and need.state is NeedState.MET for need in plain.needs)

    def number_of(self, step: int) -> int | None:
        """Where a step stands in the list, from 1; None for one that was deleted."""
        return next((at for at, one in enumerate(self.steps, start=1) if one.key == step), None)

    def at_number(self, number: int) -> rules.StepNode | None:
        """The step of that number; None past either end of the list."""
        return self.steps[number - 1] if 0 < number <= len(self.steps) else None


@dataclass(frozen=True)
class _Facts:
    """Everything the steps of several jobs need, read at once and grouped by step."""

    needs: dict[int, list[StepNeed]]
    part_needs: dict[int, list[PartNeed]]
    parts: dict[int, PartFact]
    sheets: Mapping[int, WorksheetStatus]
    of_jobs: Mapping[int, list[Worksheet]]
    overrides: dict[int, list[StepOverride]]
    doubts: dict[int, tuple[str, ...]]
    usual_doubts: dict[int, tuple[str, ...]]
    begun: frozenset[int]


def network(job: Job, today: date) -> Network:
    """The network of one job."""
    return networks([job.pk], today)[job.pk]


def networks(
    jobs: Iterable[int],
    today: date,
    *,
    worksheets_of: Container[int] | None = None,
    sheets: Mapping[int, WorksheetStatus] = MappingProxyType({}),
) -> dict[int, Network]:
    """The network of each job, by the job's primary key.

    Working worksheets out takes most of the time. Given `worksheets_of`, only those that these steps need are worked
    out, and the needs of other steps for theirs count as open: `()` is enough for whoever asks only which steps wait
    for a part, or when the work will be done, and leaves out whether signatures still count. `sheets` says how
    worksheets stand today that were worked out already; the rest is worked out here.
    """
    by_job: dict[int, list[Step]] = {job: [] for job in jobs}
    for step in Step.objects.active().filter(job__in=by_job).only(*_WHAT_NETWORKS_READ):
        by_job[step.job_id].append(step)
    facts = _read([step for steps in by_job.values() for step in steps], today, worksheets_of, sheets)
    return {job: _network(steps, facts) for job, steps in by_job.items()}


def _read(
    of_jobs: list[Step],
    today: date,
    worksheets_of: Container[int] | None,
    sheets: Mapping[int, WorksheetStatus],
) -> _Facts:
    steps = tuple(sorted(step.pk for step in of_jobs))
    needs = needs_of(steps) if steps else []
    part_needs = part_needs_of(steps) if steps else []
    wanted = [need for need in needs if worksheets_of is None or need.step_id in worksheets_of]
    kept = _worksheets_of_jobs(of_jobs) if worksheets_of is None else {}
    needed = {need.worksheet.pk for need in wanted if need.worksheet and not need.worksheet.is_deleted}
    needed |= {sheet.pk for sheets_of_job in kept.values() for sheet in sheets_of_job if not sheet.is_deleted}
    unread = needed - sheets.keys()
    sheets = {**sheets, **_worksheets(unread)}
    finished = tuple(step.pk for step in of_jobs if step.is_finished and worksheets_of != ())
    doubts = _doubts(finished, steps, today) if finished else {}
    overrides = _by_step(overrides_of(steps)) if steps else {}
    usual_doubts = {} if written.is_as_usual() else _usual_doubts(finished, steps, overrides, today)
    unfinished = tuple(sorted(step.pk for step in of_jobs if not step.is_finished))
    begun = begun_of(unfinished) if unfinished else frozenset()
    parts = part_facts(part_needs, today)
    return _Facts(_by_step(needs), _by_step(part_needs), parts, sheets, kept, overrides, doubts, usual_doubts, begun)


@while_unchanged
def _doubts(finished: Keys, of_all: Keys, today: date) -> dict[int, tuple[str, ...]]:
    """Why finished steps are to be checked again; `of_all` are all steps of their jobs. Kept apart: it rests on most
    tables, of which few change in a day."""
    steps = list(Step.objects.filter(pk__in=finished).only(*_WHAT_DOUBTS_READ))
    pieces = pieces_in(tuple(sorted({step.job_id for step in steps})))
    return doubts_about(steps, _specified_of(of_all, today), pieces)


# What is specified in a job, and which pieces it has, is the same when one more of its steps is finished.
@while_unchanged
def _specified_of(steps: Keys, today: date) -> Specified:
    """What is specified today for all that is tightened in steps."""
    return specified_torques(JobTorque.objects.in_force().filter(step__in=steps).order_by("pk"))


@while_unchanged
def pieces_in(jobs: Keys) -> dict[int, Pieces]:
    """The pieces that jobs have."""
    return pieces_of(jobs)


@written.written_as_usual()
def _usual_doubts(finished: Keys, of_all: Keys, of: Container[int], today: date) -> dict[int, tuple[str, ...]]:
    """The doubts about steps that somebody finished over something, as they are kept with the reason."""
    some = tuple(key for key in finished if key in of)
    return _doubts(some, of_all, today) if some else {}


def _worksheets_of_jobs(steps: list[Step]) -> dict[int, list[Worksheet]]:
    """The worksheets of jobs whose vehicle is still to be run, driven or handed over: those rest on all of them."""
    jobs = {step.job_id for step in steps if step.hazard in rules.WHOLE_JOB and not step.is_finished}
    links = Job.worksheets.through.objects.filter(job__in=jobs).select_related("worksheet") if jobs else ()
    found: dict[int, list[Worksheet]] = {}
    for link in links:
        found.setdefault(link.job_id, []).append(link.worksheet)
    return found


def _worksheets(keys: set[int]) -> dict[int, WorksheetStatus]:
    return worksheet_statuses(for_states(Worksheet.objects.all()).filter(pk__in=keys)) if keys else {}


def _by_step(needs: Iterable) -> dict[int, list]:
    groups: dict[int, list] = {}
    for need in needs:
        groups.setdefault(need.step_id, []).append(need)
    return groups


def _network(steps: list[Step], facts: _Facts) -> Network:
    plain = tuple(_plain(step, facts) for step in steps)
    own = [need.pk for step in steps for need in facts.part_needs.get(step.pk, ())]
    return Network(plain, rules.statuses(plain), {key: facts.parts[key] for key in own})


def _plain(step: Step, facts: _Facts) -> rules.StepNode:
    needs = facts.needs.get(step.pk, ())
    parts = facts.part_needs.get(step.pk, ())
    overrides = facts.overrides.get(step.pk, ())
    rests_on = {need.worksheet.pk: need.worksheet for need in needs if need.worksheet}
    if step.hazard in rules.WHOLE_JOB and not step.is_finished:
        rests_on |= {sheet.pk: sheet for sheet in facts.of_jobs.get(step.job_id, ())}

    def said() -> list[rules.NodeNeed]:
        decided = [_decision(need) for need in needs if need.decision_id]
        return [*decided, *(_sheet(sheet, facts.sheets.get(key)) for key, sheet in rests_on.items())]

    return rules.StepNode(
        key=step.pk,
        title=step.title,
        after=tuple(need.needs_step_id for need in needs if need.needs_step_id),
        needs=(*_as_kept_too(said, bool(overrides)), *(_part(need, facts.parts[need.pk]) for need in parts)),
        done=step.is_finished,
        started=step.pk in facts.begun,
        check_again=step.check_again,
        doubts=facts.doubts.get(step.pk, ()),
        usual_doubts=facts.usual_doubts.get(step.pk, ()),
        excused=frozenset(point for one in overrides for point in one.open_points),
        unsettled=frozenset(point for one in overrides if not one.by_owner for point in one.open_points),
        guarded=step.is_guarded,
    )


def _as_kept_too(said: Callable[[], list[rules.NodeNeed]], is_asked: bool) -> list[rules.NodeNeed]:
    """Needs as their reader says them; where it is asked and he says them otherwise, with the words that are kept."""
    needs = said()
    if not is_asked or written.is_as_usual():
        return needs
    with written.written_as_usual():
        return [replace(need, usual=usual) for need, usual in zip(needs, said(), strict=True)]


def _decision(need: StepNeed) -> rules.NodeNeed:
    decision = need.decision
    assert decision is not None
    words = gettext("a decision, “{decision}”").format(decision=decision)
    if decision.is_made and not decision.is_yes:
        who = person_name(decision.decided_by) if decision.decided_by else gettext("nobody")
        words = gettext("{words}: {who} said {value}, “{answer}”").format(
            words=words, who=who, value=word(decision.outcome) or gettext("neither yes nor no"), answer=decision.answer
        )
    return rules.NodeNeed("decision", ("decision", decision.pk), words, _state(decision.is_yes), name=f"“{decision}”")


def _sheet(sheet: Worksheet, status: WorksheetStatus | None) -> rules.NodeNeed:
    name, key = gettext("the worksheet “{sheet}”").format(sheet=sheet), ("worksheet", sheet.pk)
    if sheet.is_deleted:
        return rules.NodeNeed(
            "worksheet",
            key,
            gettext("{name}, deleted: {deleted_reason}").format(name=name, deleted_reason=sheet.deleted_reason),
            name=name,
        )
    if status is None:
        return rules.NodeNeed("worksheet", key, name, known=False, name=name)
    words = f"{name}, {status.why_not_held}" if not status.holds else name
    return rules.NodeNeed("worksheet", key, words, _state(status.holds), name=name)


def _part(need: PartNeed, fact: PartFact) -> rules.NodeNeed:
    return rules.NodeNeed("part", ("part", need.pk), fact.words, fact.state, name=str(need.component or need.text))


def _state(met: bool) -> NeedState:
    return NeedState.MET if met else NeedState.OPEN


def part_facts(needs: Iterable[PartNeed], today: date) -> dict[int, PartFact]:
    """Return a fact for every need, by its key: here, as its order lines say, or not ordered."""
    needs = list(needs)
    asked = tuple(need.pk for need in needs if need.here_on is None)
    ordered = _ordered(asked, today) if asked else {}
    return {need.pk: ordered.get(need.pk) or _without_order(need) for need in needs}


@while_unchanged
def _ordered(needs: tuple[int, ...], today: date) -> dict[int, PartFact]:
    """What order lines say of the needs that have any. Kept apart: promises move it, hours and signatures not."""
    # The orders are a room above this one: their lines are asked through the reverse relation.
    lines: Any = PartNeed._meta.get_field("order_lines").related_model._default_manager
    facts: dict[int, PartFact] = lines.part_facts(_needs_in_words(needs), today)
    return facts


_needs_in_words = OfKeys(lambda keys: PartNeed.objects.filter(pk__in=keys).select_related("component"))


def _without_order(need: PartNeed) -> PartFact:
    if need.here_on is not None:
        note = f" ({need.here_note})" if need.here_note else ""
        return PartFact(
            NeedState.MET,
            gettext("{need}, here since {day}{note}").format(need=need, day=written.day(need.here_on), note=note),
        )
    return PartFact(NeedState.OPEN, gettext("{need}, not ordered yet").format(need=need))
