"""What is open in a job or a step, in words: plain, so that whoever asks for all jobs is handed the same objects."""

from __future__ import annotations

from dataclasses import dataclass

from specs.addresses import page_address


@dataclass(frozen=True)
class DoubtedStep:
    """A finished step to be checked again."""

    pk: int
    title: str
    person_id: int | None
    finished_by_id: int | None

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return page_address("jobs:step", self.pk)


@dataclass(frozen=True)
class Point:
    """One open point in words, and the finished step that it throws doubt on; None for the job as a whole."""

    words: str
    step: DoubtedStep | None = None


@dataclass(frozen=True)
class OpenPoints:
    """What is open in a step, each point a phrase.

    `waits` holds what it comes after and worksheets that do not hold, `proofs` signatures that are missing or must be
    given again, `bad` findings that do not pass: nobody may go on over those. `seconds` are those of the proofs that
    lack no more than a second person.
    """

    waits: tuple[str, ...] = ()
    proofs: tuple[str, ...] = ()
    bad: tuple[str, ...] = ()
    seconds: tuple[str, ...] = ()

    @property
    def everything(self) -> tuple[str, ...]:
        return (*self.bad, *self.waits, *self.proofs)

    @property
    def but_for_a_second_person(self) -> tuple[str, ...]:
        """What is open though everything is signed that a second person then looks at."""
        return tuple(point for point in self.everything if point not in self.seconds)
