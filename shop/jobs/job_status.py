"""A job's state, read from its steps."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext, ngettext


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
        if not self.steps or self.is_done:
            return self.words
        if self.finished == self.steps:
            return gettext("check")
        return gettext("in hand") if self.begun or self.finished else gettext("not begun")

    @property
    def words(self) -> str:
        if not self.steps:
            return gettext("no steps yet")
        if self.is_done:
            return gettext("done")
        if self.finished == self.steps:
            return gettext("check: {points}, all steps finished").format(points=self._points)
        if not (self.begun or self.finished):
            said = ngettext("not begun, {steps} step", "not begun, {steps} steps", self.steps)
            return said.format(steps=self.steps)
        again = (
            gettext(", {check_again} to check again").format(check_again=self.check_again) if self.check_again else ""
        )
        return gettext("in hand, {finished} of {steps} steps done{again}").format(
            finished=self.finished - self.check_again, steps=self.steps, again=again
        )

    @property
    def _points(self) -> str:
        said = ngettext("{open_points} point open", "{open_points} points open", self.open_points)
        return said.format(open_points=self.open_points)
