"""What is open in a job, in words: plain, so that whoever asks for that of all jobs is handed the same objects."""

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
