"""What became of an accepted result: is today's the same, what moved it, does it still hold.

Pure rules over plain values: outputs as the contract's objects (`specs.engine.answer.plain_outputs`), checks by name
and verdict, and for each input path its origin.
"""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, is_dataclass
from typing import Any

from django.utils.translation import gettext, gettext_noop

from specs.phrase import PhraseEnum

# Two floats that went through a unit and back differ in the last figures; a thousandth of a micrometre is no change.
_ROUNDING = 1e-9
# Kinds of origin that are no input: what the worksheet is called and of what, and how a plate is made.
RECORD, MADE = "record", "made"


class WorksheetState(PhraseEnum):
    """How today's result stands beside the accepted one."""

    NEW = "not accepted yet"
    SAME = "same as accepted"
    CHANGED = "changed since it was accepted"
    BROKEN = "cannot be worked out"


@dataclass(frozen=True)
class Origin:
    """Where one input came from on a day.

    kind: typed | dimension | pattern | record | made. words: the text as typed, or which dimension or pattern.
    value, tolerance: SI, None for what is not one quantity. quantity: name of its kind. reading: key of the
    measurement. content: a digest of a whole pattern. person, on: who typed or measured it, and when (ISO date).
    datum: from where it is measured, in words; None in what was accepted before that was kept. doubts: why it is no
    plain answer, each a phrase.
    """

    path: str
    label: str
    kind: str
    words: str
    value: float | None = None
    tolerance: float = 0.0
    quantity: str = ""
    reading: int | None = None
    content: str = ""
    instrument: str = ""
    person: str = ""
    on: str = ""
    datum: str | None = None
    doubts: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "doubts", tuple(self.doubts))  # A kept record holds a list.


# What a check comes out as that holds at readings somebody should ask about first; the doubts are named beside it.
IN_DOUBT = gettext_noop("in doubt")


@dataclass(frozen=True)
class Verdict:
    """One check as it came out: holds | in doubt | too close to call | fails | not known.

    `detail` of one that is not known says why. passes: whether it passes at the values as read.
    """

    name: str
    verdict: str
    margin: float | None
    detail: str
    passes: bool = True

    @property
    def failed(self) -> bool:
        return self.verdict == "fails"

    @property
    def unknown(self) -> bool:
        return self.verdict == "not known"

    @property
    def in_doubt(self) -> bool:
        """Whether somebody has to say why he relies on it: too close to call, or resting on a doubtful reading."""
        return self.verdict in ("too close to call", IN_DOUBT)


@dataclass(frozen=True)
class Result:
    """A worked-out worksheet in plain values, as it is kept when somebody accepts it."""

    revision: int
    inputs: Mapping[str, Any]
    outputs: Mapping[str, Any]
    checks: Sequence[Verdict]
    origins: Sequence[Origin]

    @property
    def doubts(self) -> tuple[str, ...]:
        """What is doubtful about its inputs, each with the input's name."""
        return tuple(f"{origin.label}: {doubt}" for origin in self.origins for doubt in origin.doubts)


@dataclass(frozen=True)
class OutputDifference:
    """An output that is no longer what was accepted; None on the side where it is absent."""

    name: str
    before: Any
    now: Any


@dataclass(frozen=True)
class VerdictChange:
    """A check whose verdict is another than the accepted one; empty where it was not there."""

    name: str
    before: str
    now: str


@dataclass(frozen=True)
class Cause:
    """An input that is another than at acceptance; None where it was not there, or is gone."""

    before: Origin | None
    now: Origin | None

    @property
    def path(self) -> str:
        return (self.now or self.before).path  # type: ignore[union-attr]

    @property
    def measured_again(self) -> bool:
        """The same dimension or pattern, with another reading."""
        both = self.before and self.now and self.before.kind == self.now.kind != "typed"
        return bool(both and self.before.words == self.now.words)  # type: ignore[union-attr]

    @property
    def said_otherwise(self) -> bool:
        """Another title or component, or a plate made otherwise, than at acceptance: a change, whatever it comes to."""
        return (self.now or self.before).kind in (RECORD, MADE)  # type: ignore[union-attr]

    @property
    def face_measured_again(self) -> bool:
        """A pattern with other holes, or a newer one of its face, than at acceptance: a change, whatever it came to."""
        both = self.before and self.now and self.before.kind == self.now.kind == "pattern"
        return bool(both and self.before.content != self.now.content)  # type: ignore[union-attr]

    @property
    def datum_rewritten(self) -> bool:
        """The same dimension or pattern, said to be measured from somewhere else."""
        return bool(self.before and self.now and not _same_datum(self.before, self.now))

    @property
    def newly_doubted(self) -> bool:
        """Something is doubtful that was not when it was accepted."""
        known = set(self.before.doubts) if self.before else set()
        return bool(self.now and set(self.now.doubts) - known)

    @property
    def is_a_change(self) -> bool:
        """Whether somebody has to look, whatever it came to."""
        told = self.face_measured_again or self.said_otherwise
        return told or self.datum_rewritten or self.newly_doubted


@dataclass(frozen=True)
class WorksheetStatus:
    """How a worksheet stands today."""

    state: WorksheetState
    failing: tuple[Verdict, ...] = ()
    in_doubt: tuple[Verdict, ...] = ()
    unknown: tuple[Verdict, ...] = ()
    doubts: tuple[str, ...] = ()
    differences: tuple[OutputDifference, ...] = ()
    turned: tuple[VerdictChange, ...] = ()
    causes: tuple[Cause, ...] = ()
    revised: tuple[int, int] | None = None
    problems: Mapping[str, str] = field(default_factory=dict)

    @property
    def out_of_date(self) -> bool:
        """Whether something was accepted that today's readings or method no longer bear out."""
        return self.state in (WorksheetState.CHANGED, WorksheetState.BROKEN)

    @property
    def holds(self) -> bool:
        """Accepted, the same today, and no check fails, as read, or is not known: what a card may rely on."""
        sure = not self.failing and not self.unknown and all(check.passes for check in self.in_doubt)
        return self.state is WorksheetState.SAME and sure

    @property
    def why_not_held(self) -> str:
        """Why it does not hold, in a few words; "" where it does."""
        if self.holds:
            return ""
        if self.failing:
            return gettext("a check fails")
        if self.state is not WorksheetState.SAME:
            return str(self.state)
        short = gettext("too close to call, and short of it as read")
        return gettext("something is not known") if self.unknown else short

    @property
    def asks_why(self) -> bool:
        """Whether whoever accepts it says why: something fails, is too close to call, or rests on doubtful readings."""
        return bool(self.failing or self.in_doubt or self.doubts)


def same(before: Any, now: Any) -> bool:
    """Whether two plain values are equal, numbers within rounding."""
    if isinstance(before, bool) or isinstance(now, bool):
        return before is now
    if isinstance(before, (int, float)) and isinstance(now, (int, float)):
        return math.isclose(before, now, rel_tol=_ROUNDING, abs_tol=1e-15)
    if isinstance(before, Mapping) and isinstance(now, Mapping):
        return before.keys() == now.keys() and all(same(before[key], now[key]) for key in before)
    if isinstance(before, (list, tuple)) and isinstance(now, (list, tuple)):
        return len(before) == len(now) and all(map(same, before, now))
    return bool(before == now)


def compare(
    accepted: Result | None, today: Result | None, problems: Mapping[str, str] | None = None
) -> WorksheetStatus:
    """Set today's result beside the accepted one. Without a result today, `problems` says why, by input path."""
    if today is None:
        state = WorksheetState.BROKEN if accepted else WorksheetState.NEW
        return WorksheetStatus(state, problems=problems or {"": gettext("Nothing was worked out.")})
    failing = tuple(check for check in today.checks if check.failed)
    doubt = tuple(check for check in today.checks if check.in_doubt)
    unknown = tuple(check for check in today.checks if check.unknown)
    if accepted is None:
        return WorksheetStatus(WorksheetState.NEW, failing, doubt, unknown, today.doubts)
    differences, turned = _differences(accepted, today), _turned(accepted, today)
    causes = _causes(accepted.origins, today.origins)
    moved = bool(differences or turned) or not same(accepted.inputs, today.inputs)
    moved = moved or any(cause.is_a_change for cause in causes)
    return WorksheetStatus(
        state=WorksheetState.CHANGED if moved else WorksheetState.SAME,
        failing=failing,
        in_doubt=doubt,
        unknown=unknown,
        doubts=today.doubts,
        differences=differences,
        turned=turned,
        causes=causes,
        revised=(accepted.revision, today.revision) if accepted.revision != today.revision else None,
    )


def _differences(accepted: Result, today: Result) -> tuple[OutputDifference, ...]:
    names = dict.fromkeys([*today.outputs, *accepted.outputs])
    pairs = ((name, accepted.outputs.get(name), today.outputs.get(name)) for name in names)
    return tuple(OutputDifference(*pair) for pair in pairs if not same(pair[1], pair[2]))


def _turned(accepted: Result, today: Result) -> tuple[VerdictChange, ...]:
    before = {check.name: check.verdict for check in accepted.checks}
    now = {check.name: check.verdict for check in today.checks}
    names = dict.fromkeys([*now, *before])
    pairs = ((name, before.get(name, ""), now.get(name, "")) for name in names)
    return tuple(VerdictChange(*pair) for pair in pairs if pair[1] != pair[2])


def _causes(before: Sequence[Origin], now: Sequence[Origin]) -> tuple[Cause, ...]:
    old, new = ({origin.path: origin for origin in side} for side in (before, now))
    pairs = ((old.get(path), new.get(path)) for path in dict.fromkeys([*new, *old]))
    return tuple(Cause(*pair) for pair in pairs if not _alike(*pair))


def _alike(before: Origin | None, now: Origin | None) -> bool:
    if before is None and now is not None and now.kind in (RECORD, MADE):
        return True  # accepted before such things were kept
    if before is None or now is None:
        return False
    place = (before.kind, before.words, before.content) == (now.kind, now.words, now.content)
    sized = same(before.value, now.value) and same(before.tolerance, now.tolerance)
    return place and sized and _same_datum(before, now) and before.doubts == now.doubts


def _same_datum(before: Origin, now: Origin) -> bool:
    alike = (before.kind, before.words) == (now.kind, now.words)
    return not alike or before.datum is None or before.datum == now.datum


def token(result: Result) -> str:
    """A digest of what a page showed: what is accepted must be what was seen."""
    held = json.dumps(result, sort_keys=True, default=lambda one: vars(one) if is_dataclass(one) else str(one))
    return hashlib.sha256(held.encode()).hexdigest()[:32]
