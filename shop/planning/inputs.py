"""Reading the shop as it stands today into what a forecast is made from."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal
from functools import cached_property, lru_cache
from hashlib import blake2b
from itertools import count
from typing import TYPE_CHECKING, Any

from django.conf import settings

from shop.base.unchanged import while_unchanged
from shop.jobs import rules
from shop.jobs.models import Job, Step
from shop.jobs.network import Network, networks
from shop.jobs.standing import EveryJob, open_jobs
from shop.orders.delivery_history import History, history
from shop.orders.models import OrderLine
from shop.orders.rules import current_promise, days_behind_first_promise, to_come
from shop.planning.comparison import Waiting, wait_arrivals
from shop.planning.finish_forecast import Forecast, ForecastInputs
from shop.planning.hours_record import LEAST_SHARE_LEFT, HoursRecord, draw_minutes
from shop.planning.network import Shop, WorkItem
from shop.planning.shop_parts import (
    StepHours,
    awaited_lines,
    jobs_served,
    looked_at,
    needs_open,
    part_words,
    people_by_role,
    unfinished_hours,
)
from shop.planning.work_calendar import WorkCalendar

if TYPE_CHECKING:
    import numpy as np

    from shop.planning.network import Minutes

DRAWS = 1000
SEED = 1861
"""One seed for all pages of a day: a figure changes when the shop does, not when a page is opened again."""

LATEST_STEPS = 200
"""So many finished steps make the record of hours: how the shop works now, not years ago."""

Part = tuple[str, int]


@dataclass(frozen=True, eq=False)
class ShopForecast:
    """The shop today: open jobs in the order they are served, their networks, and what a forecast over them rests on.

    `lines` holds the awaited order line of each part need, by the need's key; `stopped` the jobs that cannot finish
    and why; `unordered` the parts that no order covers; `trades_alone` the trades that nobody has and that are
    counted as one pair of hands.
    """

    today: date
    jobs: Mapping[int, Job]
    networks: Mapping[int, Network]
    steps: Mapping[Any, StepHours]
    lines: Mapping[int, OrderLine]
    history: History
    hours: HoursRecord
    work: tuple[WorkItem, ...]
    shop: Shop
    draws: int
    stopped: Mapping[int, str]
    unordered: Mapping[int, str]
    trades_alone: tuple[str, ...]
    rng_seed: int = SEED

    def waiting(self, line: OrderLine) -> Waiting:
        """The line as a wait: its supplier's record, days past the first promise, the soonest day still named."""
        return _waiting(line, self.history, self.today)

    def drawn(self, draws: int) -> ShopForecast:
        """The same shop, read once, with a forecast of so many draws."""
        return replace(self, draws=draws)

    @property
    def calendar(self) -> WorkCalendar:
        """The days on which the shop works."""
        return WorkCalendar(settings.SHOP_COUNTRY, settings.SHOP_REGION)

    @cached_property
    def forecast(self) -> Forecast:
        """The forecast, drawn when first asked for: once for all readings that say the same."""
        return _forecast(_Drawing(self.fingerprint, self))

    @cached_property
    def jobs_by_need(self) -> dict[int, int]:
        """The job that each part which is waited for is needed in, by the need's key."""
        return {part[1]: step.vehicle for step in self.work for part in step.parts}  # type: ignore[index, misc]

    @cached_property
    def fingerprint(self) -> str:
        """A digest of all that is drawn from: of two readings that have the same one, the forecast is the same."""
        where = settings.SHOP_COUNTRY, settings.SHOP_REGION, settings.VERSION
        whole = self.today, self.draws, self.rng_seed, self.shop, where, self.hours, self.history.marks
        return _digest(whole, [self._facts_of(step) for step in self.work])

    @cached_property
    def fingerprints(self) -> dict[int, str]:
        """A digest of each job's own steps and parts, by the job's key: whose changed, when the whole did."""
        own: dict[Any, list[Any]] = {}
        for step in self.work:
            own.setdefault(step.vehicle, []).append(self._facts_of(step))
        return {job: _digest(facts) for job, facts in own.items()}

    def _facts_of(self, step: WorkItem) -> tuple[Any, ...]:
        known = self.steps[step.key]
        return step, known.hours_estimated, known.hours_logged, [self._wait_of(part[1]) for part in step.parts]  # type: ignore[index]

    def _wait_of(self, need: int) -> tuple[int, int, int] | None:
        if (line := self.lines.get(need)) is None:
            return None
        return line.order.supplier_id, *_days(line, self.history, self.today)

    def inputs(self) -> ForecastInputs:
        """Draw what the forecast is made from."""
        import numpy as np

        needs = sorted(self.jobs_by_need)
        rng = np.random.default_rng(self.rng_seed)
        arrivals = _arrivals(needs, self.lines, self.history, self.today, self.draws, rng)
        known = _known_days(needs, self.lines, self.history, self.today)
        minutes = _minutes([self.steps[one.key] for one in self.work], self.hours, self.draws)
        return ForecastInputs(
            self.today, list(self.work), self.shop, self.calendar, arrivals, minutes, self.draws, known
        )


@dataclass(frozen=True)
class _Drawing:
    fingerprint: str
    reading: ShopForecast = field(compare=False)


# The shop's own, and the one of fewer draws that late parts are measured by.
@lru_cache(maxsize=2)
def _forecast(drawing: _Drawing) -> Forecast:
    return Forecast(drawing.reading.inputs())


def _digest(*facts: Any) -> str:
    return blake2b(repr(facts).encode(), digest_size=16).hexdigest()


@while_unchanged
def read_shop(today: date, draws: int = DRAWS, every: EveryJob | None = None) -> ShopForecast:
    """Read all open jobs, their steps, parts and orders. `every` is what was read of all jobs already, if it was."""
    jobs = {job.pk: job for job in jobs_served(_open(every))}
    # What the forecast takes from a network, its needs for steps and parts, rests on no worksheet.
    found = {key: every.networks[key] for key in jobs} if every else networks(jobs, today, worksheets_of=())
    steps = unfinished_hours(tuple(sorted(jobs)))
    stopped = {key: words for key, network in found.items() if (words := _why_never(network))}
    going = [key for key in jobs if key not in stopped]
    work = tuple(_work(steps[step.key], step) for key in going for step in found[key].steps if step.key in steps)
    needs: set[int] = {key[1] for step in work for key in step.parts}  # type: ignore[index]
    lines = awaited_lines(looked_at(needs_open(found.values()), today), needs)
    hands, alone = _hands({step.trade for step in work})
    return ShopForecast(
        today=today,
        jobs=jobs,
        networks=found,
        steps=steps,
        lines=lines,
        history=history(today),
        hours=hours_record(),
        work=work,
        shop=Shop(hands, round(settings.SHOP_DAY_HOURS * 60)),
        draws=draws,
        stopped=stopped,
        unordered={key: words for key, words in part_words(tuple(sorted(needs))).items() if key not in lines},
        trades_alone=alone,
    )


def _open(every: EveryJob | None) -> tuple[int, ...]:
    return tuple(sorted(every.open if every else open_jobs(Job.objects.all()).values_list("pk", flat=True)))


def _why_never(network: Network) -> str:
    never = [status.words for status in network.statuses.values() if status.state is rules.StepState.CANNOT]
    return never[0] if never else ""


def _work(step: StepHours, plain: rules.StepNode) -> WorkItem:
    left = max(step.hours_estimated - step.hours_logged, step.hours_estimated * Decimal(LEAST_SHARE_LEFT))
    parts = tuple(need.key for need in plain.needs if need.kind == "part" and need.state is rules.NeedState.OPEN)
    return WorkItem(step.pk, step.job_id, round(left * 60), plain.after, parts, step.role)


@while_unchanged
def hours_record() -> HoursRecord:
    """The record of hours, from the latest finished steps that have both an estimate and hours logged."""
    steps = [(float(logged / estimated), job) for logged, estimated, job in _latest_with_hours()]
    return HoursRecord(*(tuple(column) for column in zip(*steps, strict=True)))


def _latest_with_hours() -> list[tuple[Decimal, Decimal, int]]:
    """The latest finished steps with hours, looked for backwards by an index: no step before them is read."""
    latest = Step.objects.active().filter(finished_at__isnull=False, hours_estimated__gt=0)
    keys = latest.order_by("-finished_at", "pk").values_list("pk", flat=True)
    found: list[tuple[Decimal, Decimal, int]] = []
    at_once = LATEST_STEPS + LATEST_STEPS // 4  # Of most steps somebody logged hours: few shops are looked at twice.
    for start in count(0, at_once):
        batch = list(keys[start : start + at_once])
        logged = Step.objects.filter(pk__in=batch).with_hours().filter(hours_logged__gt=0)
        found += logged.order_by("-finished_at", "pk").values_list("hours_logged", "hours_estimated", "job_id")
        if len(batch) < at_once or len(found) >= LATEST_STEPS:
            return found[:LATEST_STEPS]
    return found


def _minutes(steps: Sequence[StepHours], record: HoursRecord, draws: int) -> Minutes | None:
    import numpy as np

    estimated, logged = (
        [float(getattr(step, name)) * 60 for step in steps] for name in ("hours_estimated", "hours_logged")
    )
    # A seed of its own: parts are drawn alike whatever the record of hours says.
    rng = np.random.default_rng(SEED + 1)
    return draw_minutes(estimated, logged, record, draws, rng, [step.job_id for step in steps]) if steps else None


def _waiting(line: OrderLine, past: History, today: date) -> Waiting:
    return Waiting(str(line.order.supplier), past.record(line.order.supplier_id), *_days(line, past, today))


def _days(line: OrderLine, past: History, today: date) -> tuple[int, int]:
    """The days past the first promise, and the soonest day from today that is still named: what a wait depends on
    beside its supplier's record."""
    rule = line.as_rule()
    promise = current_promise(rule.promises)
    behind = days_behind_first_promise(rule, today)
    # Once a supplier has put a day off, nothing comes before the day it names now.
    put_off = promise is not None and sum(one.gives_a_date for one in rule.promises) > 1
    soonest = (promise.earliest - today).days if put_off and promise and promise.earliest else 1
    return behind if behind is not None else line.age(today) - past.usual_lead, max(1, soonest)


def _arrivals(
    needs: Sequence[int],
    lines: Mapping[int, OrderLine],
    past: History,
    today: date,
    draws: int,
    rng: np.random.Generator,
) -> dict[Any, Minutes]:
    arrivals: dict[Any, Minutes] = {}
    for key in needs:
        if line := lines.get(key):
            assert to_come(line.as_rule()) > 0
            arrivals["part", key] = wait_arrivals(_waiting(line, past, today), draws, rng)
        else:
            arrivals["part", key] = past.unordered.draw(draws, rng)
    return arrivals


def _known_days(needs: Sequence[int], lines: Mapping[int, OrderLine], past: History, today: date) -> dict[Any, int]:
    """Return for each part the days from today up to which orders on record arrived."""
    waits = {key: _waiting(lines[key], past, today) if key in lines else None for key in needs}
    return {("part", key): wait.known_days if wait else past.unordered.known_days for key, wait in waits.items()}


def _hands(trades: Iterable[str]) -> tuple[dict[str, int], tuple[str, ...]]:
    """Hands by trade: the people who hold the role. A trade that nobody has is counted as one pair of hands."""
    hands = people_by_role()
    alone = tuple(sorted(trade for trade in trades if not hands[trade]))
    return dict(sorted({**hands, **dict.fromkeys(alone, 1)}.items())), alone
