"""What the papers of a job say, frozen when printed: card, step card, torque sheets, the vehicle's torques."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext

from shop.jobs.rules import waits_for
from shop.print.facts import Heading, Pair, Told


@dataclass(frozen=True)
class Stand:
    """How a step stands, in words; whether it may start; each thing that it waits for."""

    said: str
    is_ready: bool = False
    waits: tuple[str, ...] = ()

    @classmethod
    def of_old(cls, said: str) -> Stand:
        """What an older sheet kept, which was always English."""
        lead = "waits for "
        return cls(
            said, said == "ready", tuple(said.removeprefix(lead).split("; for ")) if said.startswith(lead) else ()
        )

    def briefly(self, most: int) -> str:
        """What it waits for, the first causes by name: all of them stand under parts, worksheets and decisions."""
        more = len(self.waits) - most
        if more <= 0:
            return self.said
        return gettext("{waits}; and {more} more").format(waits=waits_for(self.waits[:most]), more=more)


@dataclass(frozen=True)
class StepFacts:
    """One step of a job. `stands` says whether it is done, ready, or what it waits for.

    `cautions` are what can hurt in it; `changes` who changed what guards it, or went on over something, and why.
    `checks` are those to be signed. `is_open`: it may be worked on now, or has to be looked at again.
    """

    number: int
    title: str
    text: str
    cautions: str
    role: str
    hours: str
    stands: Stand
    touches: tuple[str, ...]
    torques: tuple[int, ...]
    done: str = ""
    changes: tuple[str, ...] = ()
    checks: tuple[str, ...] = ()
    is_open: bool = False


@dataclass(frozen=True)
class DimensionFacts:
    """A measured dimension: its working value with tolerance, from which reading, and what to look at."""

    component: str
    name: str
    datum: str
    value: str
    tolerance: str
    source: str
    flags: tuple[str, ...]


@dataclass(frozen=True)
class PlannedHole:
    """A hole by its name, its place and size [mm] in the datum of its face."""

    name: str
    x: float
    y: float
    diameter: float


@dataclass(frozen=True)
class HolePlan:
    """The measured holes of a set of fasteners, by name in tightening sequence; no holes where none are on record."""

    holes: tuple[PlannedHole, ...] = ()
    outline: tuple[tuple[float, float], ...] = ()
    sequence: tuple[str, ...] = ()
    seen: str = ""
    datum: str = ""
    source: str = ""
    note: str = ""


@dataclass(frozen=True)
class Basis:
    """On whose word a torque is, or why there is none: `why_not` says that without the words that there is none."""

    said: str
    why_not: str = ""

    @classmethod
    def of_old(cls, said: str) -> Basis:
        """What an older sheet kept, which was always English."""
        none = "No approved torque: do not tighten: "
        return cls(said, said.removeprefix(none) if said.startswith(none) else "")


@dataclass(frozen=True)
class TorqueFacts:
    """A set of fasteners: what to tighten to, on whose word, in which sequence and rounds.

    `torque` is empty where nothing may be tightened; `basis` then says why. `rounds` name each round with its figure.
    `sign_again` says what was signed and why that counts no more.
    """

    number: int
    component: str
    place: str
    fastener: str
    condition: str
    torque: str
    basis: Basis
    flag: str
    rounds: tuple[Pair, ...]
    order_words: str
    single_use: bool
    count: int
    signed: str
    step: int | None
    sign_again: str = ""
    plan: HolePlan | None = None

    @property
    def is_done(self) -> bool:
        """Whether somebody signed for it, and the signature counts."""
        return bool(self.signed) and not self.sign_again


@dataclass(frozen=True)
class PartFacts:
    """A part that a step needs: here, or when it is expected and what was promised."""

    step: int
    state: str
    late: bool
    here: bool = False


@dataclass(frozen=True)
class WorksheetFacts:
    """A worksheet that the job rests on: what was accepted, and whether today bears it out, in words.

    `judged`: among its checks are others than doubts about readings.
    """

    title: str
    method: str
    accepted: str
    results: tuple[Pair, ...]
    checks: tuple[str, ...]
    status: tuple[str, ...]
    relied_on: bool
    number: str = ""
    judged: bool = False


@dataclass(frozen=True)
class Regulated:
    """What needs licensed approval: its subject, and what is changed; `subject` in as few words as there are."""

    said: str
    subject: str = ""

    @classmethod
    def of_old(cls, said: str) -> Regulated:
        """What an older sheet kept, which was always English."""
        return cls(said, said.partition(":")[0])


@dataclass(frozen=True)
class JobFacts:
    """Everything on a job card. `regulated`: each with its approvals, which stop where there is none."""

    heading: Heading
    vehicle: tuple[Pair, ...]
    job: tuple[Pair, ...]
    asked_for: str
    steps: tuple[StepFacts, ...]
    torques: tuple[TorqueFacts, ...]
    dimensions: tuple[DimensionFacts, ...]
    parts: tuple[PartFacts, ...]
    worksheets: tuple[WorksheetFacts, ...]
    regulated: tuple[tuple[Regulated, Told], ...]
    lessons: tuple[Pair, ...]
    decisions: tuple[Pair, ...]
    check_again: tuple[Pair, ...] = ()
    weakened: tuple[Pair, ...] = ()

    @property
    def torques_due(self) -> tuple[TorqueFacts, ...]:
        """What is tightened next: in the steps that are open, else in the first step that still has any to tighten."""
        left = [torque for torque in self.torques if not torque.is_done]
        open_now = {step.number for step in self.steps if step.is_open}
        due = [torque for torque in left if torque.step in open_now]
        coming = min((torque.step for torque in left if torque.step), default=None)
        return tuple(due or (torque for torque in left if torque.step and torque.step == coming))


@dataclass(frozen=True)
class TorqueSheetFacts:
    """Everything on the torque sheets of a job: what is still to be tightened, each on a sheet."""

    heading: Heading
    vehicle: str
    cautions: tuple[str, ...]
    torques: tuple[TorqueFacts, ...]


@dataclass(frozen=True)
class StepCardFacts:
    """Everything on the card of one step."""

    heading: Heading
    vehicle: str
    step: StepFacts
    torques: tuple[TorqueFacts, ...]
    parts: tuple[PartFacts, ...]
    lessons: tuple[Pair, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True)
class TorqueListFacts:
    """Every torque of a vehicle's jobs: (job, its torques), approved figures alone as figures."""

    heading: Heading
    vehicle: tuple[Pair, ...]
    jobs: tuple[JobTorques, ...]


@dataclass(frozen=True)
class JobTorques:
    """The torques of one job of a vehicle."""

    job: str
    torques: tuple[TorqueFacts, ...]
