"""What the forecast came to, kept in plain values, so that no page waits for its draws.

The process that does the timed work draws it as soon as anything moved that it rests on (`shop.planning.drawing`), and
keeps it under the digest of all of that. A page whose reading has the same digest shows it as today's. Under another it
shows the last one, and says of when it is and what changed since; where nobody is at that work, it draws for itself.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from io import StringIO
from typing import TYPE_CHECKING, Any

from django.core.management import call_command
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.unchanged import while_unchanged
from shop.base.written import clock, comma_moment
from shop.planning.drawing_lock import is_at_work
from shop.planning.finish_forecast import Decider
from shop.planning.models import KeptForecast
from specs.apart import done_apart

if TYPE_CHECKING:
    from shop.planning.inputs import ShopForecast


@dataclass(frozen=True)
class PlainFinish:
    """When one job is done, as `finish_forecast.Finish` says it, without the draws."""

    vehicle: int
    p50: date | None
    p80: date | None
    known_to: date
    known_percent: int
    deciders: tuple[Decider, ...]


@dataclass(frozen=True, eq=False)
class Outlook:
    """What a forecast came to.

    `finishes` by job, in the order served; `sooner`, by part need, the days of finish that a week sooner is worth;
    `delays`, by part need, those that the part costs (`late.finish_days`). `as_of` is None while nothing moved that it
    rests on; else when it was drawn, and `changed` names the vehicles whose own work or parts moved since.
    """

    finishes: Mapping[int, PlainFinish]
    sooner: Mapping[int, int | None]
    delays: Mapping[int, tuple[int, bool]]
    as_of: datetime | None = None
    changed: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """Of when it is, where it is not of today's facts; "" where it is."""
        if self.as_of is None:
            return ""
        at = timezone.localtime(self.as_of)
        moment = clock(at) if at.date() == timezone.localdate() else comma_moment(at)
        what = ", ".join(self.changed) or gettext("something that it rests on")
        return gettext("As of {moment}, before {what} changed; the new forecast is being worked out.").format(
            moment=moment, what=what
        )


def outlook(reading: ShopForecast) -> Outlook | None:
    """The forecast that a page shows: of these facts, or the last one, with its time. None: the page draws it."""
    known = _of_these_facts(reading.fingerprint)
    return known or (_before(reading) or _drawn(reading) if is_at_work() else None)


def outlook_today(reading: ShopForecast) -> Outlook | None:
    """The forecast of these facts and no others, waited for where it is not kept yet. None: whoever asks draws it."""
    return _of_these_facts(reading.fingerprint) or (_drawn(reading) if is_at_work() else None)


def _drawn(reading: ShopForecast) -> Outlook | None:
    """The forecast of these facts, as who draws for everyone draws it now."""
    _draw()
    kept = KeptForecast.objects.filter(fingerprint=reading.fingerprint).first()
    return _read(kept.result) if kept else None


@done_apart
def _draw() -> None:
    call_command("draw_forecast", stdout=StringIO())


@while_unchanged
def _of_these_facts(fingerprint: str) -> Outlook | None:
    kept = KeptForecast.objects.filter(fingerprint=fingerprint).first()
    return _read(kept.result) if kept else None


def _before(reading: ShopForecast) -> Outlook | None:
    """The last one, of facts that were others."""
    digests = reading.fingerprints
    return _last(tuple((key, digests.get(key, ""), str(job.vehicle)) for key, job in reading.jobs.items()))


@while_unchanged
def _last(jobs: tuple[tuple[int, str, str], ...]) -> Outlook | None:
    """jobs: each by its key, with the digest of its own facts today, and the name of its vehicle."""
    kept = KeptForecast.objects.order_by("-made_at", "-pk").first()
    if kept is None:
        return None
    then = kept.result["jobs"]
    return _read(kept.result, kept.made_at, tuple(name for key, now, name in jobs if then.get(str(key), "") != now))


def _read(result: Mapping[str, Any], as_of: datetime | None = None, changed: tuple[str, ...] = ()) -> Outlook:
    return Outlook(
        {row[0]: _finish(*row) for row in result["finishes"]},
        dict(result["sooner"]),
        {need: (days, more) for need, days, more in result["delays"]},
        as_of,
        changed,
    )


def _finish(job: int, p50: Any, p80: Any, known_to: str, percent: int, deciders: list[Any]) -> PlainFinish:
    likely, sure = (date.fromisoformat(on) if on else None for on in (p50, p80))
    told = (Decider(kind, tuple(key) if isinstance(key, list) else key, share) for kind, key, share in deciders)
    return PlainFinish(job, likely, sure, date.fromisoformat(known_to), percent, tuple(told))
