"""What can be worked on now, what waits and on what: pure rules over one job's network of steps.

A step may need other steps, parts, accepted worksheets and decisions. Nothing here reads a database or a clock.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from graphlib import CycleError, TopologicalSorter

from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from specs.phrase import PhraseEnum


class NeedState(StrEnum):
    """Whether a need other than a step is met: here, still open, or impossible (a cancelled part, a refused idea)."""

    MET = "met"
    OPEN = "open"
    NEVER = "never"


@dataclass(frozen=True)
class PartFact:
    """What is known of a needed part, in words that follow "waits for": "the clutch, promised 14 May, third date"."""

    state: NeedState
    words: str
    expected: date | None = None
    overdue: bool = False


@dataclass(frozen=True)
class NodeNeed:
    """Something outside the network that a step needs first.

    `kind` is "part", "worksheet", "decision" or any other word the job uses; `words` says what is awaited as a
    person would say it, e.g. "the clutch, promised 14 May, third date"; `name` is the part of it that stays when
    promises move. `usual` is the same as the shop keeps it, where whoever reads has another language or form of days:
    what people went on over is found again by that.
    """

    kind: str
    key: Hashable
    words: str
    state: NeedState = NeedState.OPEN
    known: bool = True
    name: str = ""
    usual: NodeNeed | None = None

    @property
    def on_record(self) -> NodeNeed:
        """The need in the words that are kept."""
        return self.usual or self

    @property
    def short(self) -> str:
        """What is awaited, without what was said about it: a part's name, "a decision"."""
        return gettext("a decision") if self.kind == "decision" else self.name or self.words


@dataclass(frozen=True)
class StepNode:
    """One step: its title, the keys of steps it needs first, its other needs, and whether it is done.

    A done step with `check_again` or `doubts` must be looked at again for those causes. `excused` holds the open points
    over which a person finished it with a reason: those, and no others, throw no doubt on it; `usual_doubts` are the
    doubts as they are kept. `unsettled` are those of them that nobody but the owner may carry over into a guarded step.
    """

    key: Hashable
    title: str
    after: tuple[Hashable, ...] = ()
    needs: tuple[NodeNeed, ...] = ()
    done: bool = False
    started: bool = False
    check_again: str = ""
    doubts: tuple[str, ...] = ()
    usual_doubts: tuple[str, ...] = ()
    excused: frozenset[str] = frozenset()
    unsettled: frozenset[str] = frozenset()
    guarded: bool = False


class StepState(PhraseEnum):
    DONE = "done"
    READY = "ready"
    WAITING = "waiting"
    CANNOT = "cannot"
    CHECK = "check again"


@dataclass(frozen=True)
class StepStatus:
    """Where a step stands, and what it waits on, each reason one phrase; empty for a ready or a done step.

    `short` names what a waiting step waits for, in the order of the reasons, for a line that has no room for them.
    """

    state: StepState
    reasons: tuple[str, ...] = ()
    short: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The state in plain words: "ready", "waits for the clutch, promised 14 May; for “Trial fit”"."""
        if self.state is StepState.WAITING:
            return waits_for(self.reasons)
        if self.state is StepState.CANNOT:
            return gettext("cannot be done: ") + "; ".join(self.reasons)
        if self.state is StepState.CHECK:
            return gettext("check again: ") + "; ".join(self.reasons)
        return str(self.state)


def waits_for(reasons: Iterable[str]) -> str:
    """Say what a step waits for."""
    return gettext("waits for {reasons}").format(reasons=gettext("; for ").join(reasons))


class CircularNeedsError(ValueError):
    """Steps that wait for one another for ever. `circle` holds their titles, first and last alike."""

    def __init__(self, circle: Sequence[str]) -> None:
        self.circle = tuple(circle)
        chain = gettext(" needs ").join(f"“{title}”" for title in self.circle)
        words = gettext("These steps would wait for one another for ever: {chain}. Take one of these needs away.")
        super().__init__(words.format(chain=chain))


def in_order(steps: Iterable[StepNode]) -> list[StepNode]:
    """Return the steps so that each stands after all it needs, otherwise in the order given.

    Needs for steps that are not among `steps` are left out of account here; `statuses` reports them.
    Raises CircularNeedsError.
    """
    by_key = {step.key: step for step in steps}
    # graphlib starts from what has no needs; feeding it in the given order keeps that order among equals.
    sorter: TopologicalSorter[Hashable] = TopologicalSorter()
    for step in by_key.values():
        sorter.add(step.key, *(key for key in step.after if key in by_key))
    try:
        return [by_key[key] for key in sorter.static_order()]
    except CycleError as error:
        # graphlib lists each node before the one that needs it; people read it the other way round.
        raise CircularNeedsError([by_key[key].title for key in reversed(error.args[1])]) from None


def find_circle(after: Mapping[Hashable, Iterable[Hashable]], titles: Mapping[Hashable, str]) -> tuple[str, ...]:
    """Return the titles of a circle of needs, first and last alike, or () when there is none.

    `after` maps a step's key to the keys of the steps it needs first: ask before saving a new need.
    """
    try:
        in_order(StepNode(key, titles[key], tuple(needed)) for key, needed in after.items())
    except CircularNeedsError as error:
        return error.circle
    return ()


def statuses(steps: Iterable[StepNode]) -> dict[Hashable, StepStatus]:
    """Say of every step whether it is ready, waiting (on what), done, or cannot be done.

    A finished step falls to "check again" when something that it rests on is open now. Raises CircularNeedsError.
    """
    ordered = in_order(steps)
    titles = {step.key: step.title for step in ordered}
    found: dict[Hashable, StepStatus] = {}
    for step in ordered:
        found[step.key] = _status_of(step, titles, found)
    _hold_guarded(ordered, titles, found)
    return found


def _hold_guarded(
    ordered: Sequence[StepNode], titles: Mapping[Hashable, str], found: dict[Hashable, StepStatus]
) -> None:
    """Let a guarded step wait for what somebody else than the owner went on over in the steps before it."""
    carried: dict[Hashable, tuple[str, ...]] = {}
    for step in ordered:
        before = tuple(dict.fromkeys(point for key in step.after for point in carried.get(key, ())))
        carried[step.key] = (*before, *_unsettled(step, titles, found))
        status = found[step.key]
        if not (step.guarded and before) or status.state is StepState.CANNOT:
            continue
        state = StepState.CHECK if step.done else StepState.WAITING
        found[step.key] = StepStatus(state, (*status.reasons, *before), (*status.short, *before))


def _unsettled(step: StepNode, titles: Mapping[Hashable, str], found: Mapping[Hashable, StepStatus]) -> list[str]:
    """What somebody went on over in a finished step, less what was met since."""
    if not step.done:
        return []
    met = {f"“{titles[key]}”": found[key].state is StepState.DONE for key in step.after if key in found}
    for need in step.needs:
        name = need.on_record.name
        met[name] = met.get(name, True) and need.state is NeedState.MET
    left = sorted(point for point in step.unsettled if not met.get(_named_in(point, met), False))
    words = gettext("“{step}” was finished with this open: {point}")
    return [words.format(step=step.title, point=point) for point in left]


def _named_in(point: str, names: Iterable[str]) -> str:
    """The name that an open point is about: the longest in it, for "bolt" is in "bolt, short" as well; "" for none."""
    return max((name for name in names if name and name in point), key=len, default="")


def _is_excused(need: NodeNeed, step: StepNode) -> bool:
    """Whether a need, as it stands, is one of the points that somebody went on over; a part's promise may move."""
    parts = [one.name for one in step.needs if one.kind == "part"]
    return any(
        need.on_record.words == point or (need.kind == "part" and need.name and _named_in(point, parts) == need.name)
        for point in step.excused
    )


def _status_of(step: StepNode, titles: Mapping[Hashable, str], found: Mapping[Hashable, StepStatus]) -> StepStatus:
    if step.done:
        causes = tuple(_why_check_again(step, titles, found))
        return StepStatus(StepState.CHECK, causes) if causes else StepStatus(StepState.DONE)
    lost = [need.words for need in step.needs if need.state is NeedState.NEVER]
    never = [gettext("{what} will not come").format(what=what) for what in lost]
    waits = [(need.words, need.short) for need in step.needs if need.state is NeedState.OPEN]
    for key in step.after:
        if key not in found:
            never.append(gettext("a step it needs is no longer part of the job"))
        elif found[key].state is StepState.CANNOT:
            never.append(gettext("“{titles}” cannot be done").format(titles=titles[key]))
        elif found[key].state is StepState.CHECK:
            waits.append((gettext("“{titles}”, to be checked again").format(titles=titles[key]), f"“{titles[key]}”"))
        elif found[key].state is not StepState.DONE:
            waits.append((f"“{titles[key]}”", f"“{titles[key]}”"))
    if never:
        return StepStatus(StepState.CANNOT, tuple(never))
    if not waits:
        return StepStatus(StepState.READY)
    reasons, short = zip(*waits, strict=True)
    return StepStatus(StepState.WAITING, reasons, short)


def _why_check_again(
    step: StepNode, titles: Mapping[Hashable, str], found: Mapping[Hashable, StepStatus]
) -> Iterator[str]:
    if step.check_again:
        yield step.check_again
    kept = step.usual_doubts or step.doubts
    yield from (doubt for doubt, usual in zip(step.doubts, kept, strict=True) if usual not in step.excused)
    for need in step.needs:
        if need.known and need.state is not NeedState.MET and not _is_excused(need, step):
            yield need.words
    for key in step.after:
        excused = f"“{titles.get(key)}”" in step.excused and key in found and found[key].state is not StepState.CHECK
        if key in found and found[key].state is not StepState.DONE and not excused:
            again = found[key].state is StepState.CHECK
            said = gettext("“{step}” is to be checked again") if again else gettext("“{step}” is not done")
            yield said.format(step=titles[key])


# What the vehicle does in a step that can hurt somebody: such a step is guarded.
HAZARDS: dict[str, str] = {
    "none": gettext_lazy("none of these"),
    "runs": gettext_lazy("the engine or driveline runs"),
    "lifts": gettext_lazy("the vehicle, engine or gearbox is lifted"),
    "drives": gettext_lazy("the vehicle is driven"),
    "hands over": gettext_lazy("the vehicle is handed over"),
}


# Lifting a gearbox does not rest on the worksheets and pieces of the whole job; running, driving, handing over do.
WHOLE_JOB = ("runs", "drives", "hands over")


def is_guarded(hazard: str) -> bool:
    """Whether a step with this hazard neither starts nor finishes while anything is open."""
    return hazard != "none"


def known_hazard(hazard: str) -> None:
    """Refuse a hazard that is not one of HAZARDS; checked in code, so that a new one needs no migration."""
    if hazard not in HAZARDS:
        raise ValidationError(gettext("Choose one of: {HAZARDS}.").format(HAZARDS=", ".join(HAZARDS)))
