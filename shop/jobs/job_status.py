"""A job's state, read from its steps."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class JobStatus:
    """How far a job is: its steps, those finished, those that somebody has begun, and the points that keep it open
    beyond the steps (`shop.jobs.standing`), among them `check_again` finished steps to be checked again."""

    steps: int
    finished: int
    begun: int
    open_points: int = 0
    check_again: int = 0

    @property
    def is_done(self) -> bool:
        return self.steps > 0 and self.finished == self.steps and not self.open_points

    @property
    def is_open(self) -> bool:
        return not self.is_done

    @property
    def word(self) -> str:
        """The state less its numbers."""
        return self.words.partition(",")[0].partition(":")[0]

    @property
    def words(self) -> str:
        if not self.steps:
            return "no steps yet"
        if self.is_done:
            return "done"
        if self.finished == self.steps:
            return f"check: {self._points}, all steps finished"
        if not (self.begun or self.finished):
            return f"not begun, {self.steps} step{'s' if self.steps != 1 else ''}"
        again = f", {self.check_again} to check again" if self.check_again else ""
        return f"in hand, {self.finished - self.check_again} of {self.steps} steps done{again}"

    @property
    def _points(self) -> str:
        return f"{self.open_points} point{'s' if self.open_points != 1 else ''} open"
