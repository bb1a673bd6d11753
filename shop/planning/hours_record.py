"""The shop's own record of hours: what its finished steps took over what was estimated for them. Pure.

Steps of one vehicle overrun together: a rusty car is slow in all its steps. So the logarithm of hours taken over hours
estimated is split into what is common to all (a mean), to one job (variance τ²) and to one step (variance σ²): the
one-way random-effects model, its variances by the analysis of variance (Searle, Casella and McCulloch, Variance
Components, 1992, chapter 3, unbalanced data). What a job's own finished steps say shifts its draws (best linear
prediction, the same, chapter 7).

While few steps are finished, a step as estimated counts for each that is lacking: from 20 on the record stands alone.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property
from math import exp, fsum, log
from statistics import fmean, median, variance
from typing import TYPE_CHECKING

from django.utils.translation import gettext, ngettext

from shop.base.written import num

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from shop.planning.network import Minutes

OWN_RECORD_FROM = 20
"""Finished steps from which the record needs no help from the estimates."""

LEAST_SHARE_LEFT = 0.1
"""A step that has taken all its hours and is not finished still takes a tenth of them. An assumption, no source."""


@dataclass(frozen=True)
class JobEffect:
    """What all steps of one job share: mean and standard deviation of its part of the logarithm of the ratio [1]."""

    mean: float
    deviation: float


@dataclass(frozen=True)
class HoursRecord:
    """Hours taken over hours estimated [1] of finished steps whose hours were logged, each with the job it is of.

    Without `jobs` every step counts as one of a job of its own.
    """

    ratios: tuple[float, ...] = ()
    jobs: tuple[Hashable, ...] = ()

    @cached_property
    def _logs(self) -> list[float]:
        lacking = [0.0] * (OWN_RECORD_FROM - len(self.ratios))
        return [*map(log, self.ratios), *lacking]

    @cached_property
    def _groups(self) -> list[list[float]]:
        """The logarithms of each job's steps; a step that is lacking is a job of its own."""
        groups: dict[Hashable, list[float]] = {}
        for n, one in enumerate(self._logs):
            groups.setdefault(("job", self.jobs[n]) if n < len(self.jobs) else n, []).append(one)
        return list(groups.values())

    @cached_property
    def mean(self) -> float:
        """Mean of the logarithm of the ratio."""
        return fmean(self._logs)

    @cached_property
    def variances(self) -> tuple[float, float]:
        """Return τ² between jobs and σ² within; all is σ² where no job has two steps."""
        # Without arrays: some hundred steps, on a page that has no other need of them.
        count = len(self._logs)
        free, between = count - len(self._groups), len(self._groups) - 1
        if free < 1 or between < 1:
            return 0.0, variance(self._logs)
        within = fsum(one**2 for of_job in self._groups for one in _from_their_mean(of_job)) / free
        among = fsum(len(of_job) * (fmean(of_job) - self.mean) ** 2 for of_job in self._groups) / between
        usual_size = (count - sum(len(of_job) ** 2 for of_job in self._groups) / count) / between
        return max(0.0, (among - within) / usual_size), within

    def job_effect(self, job: Hashable) -> JobEffect:
        """Return what is known of one job's overrun, from its own finished steps."""
        shared, own = self.variances
        its = [self._logs[n] for n, key in enumerate(self.jobs) if key == job]
        if not shared or not its:
            return JobEffect(0.0, shared**0.5)
        weight = shared / (shared + own / len(its))
        overrun = fmean(its) - self.mean
        return JobEffect(weight * overrun, (shared * (1 - weight)) ** 0.5)

    @cached_property
    def residuals(self) -> NDArray[np.float64]:
        """The steps' own parts of the logarithm: as observed, scaled to σ² where jobs share some of it."""
        import numpy as np

        shared, own = self.variances
        if not shared:
            return np.array(self._logs) - self.mean
        left = np.array([one for of_job in self._groups if len(of_job) > 1 for one in _from_their_mean(of_job)])
        return left * (own**0.5 / left.std() if left.std() else 0.0)

    @property
    def words(self) -> str:
        """Say what the hours left rest on."""
        count = len(self.ratios)
        if not count:
            return gettext(
                "Hours left are the estimate less the hours logged: no step with hours logged is finished yet."
            )
        steps = ngettext("{count} finished step", "{count} finished steps", count).format(count=count)
        middle = num(median(self.ratios), ".2f")
        said = gettext("Hours left are drawn from the shop’s record of {steps}, which took {middle} times").format(
            steps=steps, middle=middle
        )
        said += gettext(" their estimate in the middle, less the hours logged")
        if shared := self.variances[0] ** 0.5:
            factor = num(exp(shared), ".2f")
            said += gettext(
                "; a vehicle’s steps overrun together, by a factor of {factor} in two vehicles of three"
            ).format(factor=factor)
        if count >= OWN_RECORD_FROM:
            return f"{said}."
        return gettext(
            "{said}; while fewer than {OWN_RECORD_FROM} are finished each counts 1 in {OWN_RECORD_FROM}, "
        ).format(said=said, OWN_RECORD_FROM=OWN_RECORD_FROM) + gettext(
            "and the rest of the weight is on the estimates as they stand."
        )


def _from_their_mean(those: Sequence[float]) -> list[float]:
    middle = fmean(those)
    return [one - middle for one in those]


def draw_minutes(
    estimated: Sequence[float],
    logged: Sequence[float],
    record: HoursRecord,
    draws: int,
    rng: np.random.Generator,
    jobs: Sequence[Hashable] = (),
) -> Minutes | None:
    """Draw each step's minutes left, shape (steps, draws): estimated × a ratio of the record, less those logged.

    `jobs` names the job of each step: those of one job share a draw of the job's part. Never below a tenth of the
    estimate. None when the record is empty: the estimates stand as they are.
    """
    import numpy as np

    if not record.ratios:
        return None
    own = rng.choice(record.residuals, size=(len(estimated), draws))
    shared = {}
    for job in dict.fromkeys(jobs):
        effect = record.job_effect(job)
        shared[job] = effect.mean + effect.deviation * rng.standard_normal(draws)
    together = np.array([shared[job] for job in jobs]).reshape(-1, draws) if jobs else 0.0
    whole, gone = (np.asarray(minutes, dtype=float)[:, None] for minutes in (estimated, logged))
    ratios = np.exp(record.mean + together + own)
    return np.rint(np.maximum(whole * ratios - gone, whole * LEAST_SHARE_LEFT)).astype(np.int64)
