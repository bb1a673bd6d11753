"""How the box is, for a monitor: is anything wrong that a person should look at before the shop notices?

Nothing here is secret: no names, no addresses, no paths, no words of what failed.
"""

import shutil
import time
from collections.abc import Callable
from dataclasses import asdict, dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.db import DatabaseError, connection

from shop.copies.record import copy_is_overdue, proven_age
from shop.orders.models import Mail
from shop.serving.jobs import JOBS, NEVER, is_late
from shop.serving.runs import read_runs

LEAST_FREE_PERCENT, LEAST_FREE = 5.0, 500 * 1024 * 1024
MAIL_WAITS_AT_MOST = timedelta(hours=1)
CLOCK_SLACK = timedelta(minutes=1)
SLOW_DATABASE_MS = 1000


@dataclass(frozen=True)
class HealthPart:
    """One thing that was looked at; `facts` are numbers."""

    well: bool
    facts: dict[str, Any] = field(default_factory=dict)


def look(now: datetime) -> dict[str, HealthPart]:
    """Every part. What cannot be looked at, because the database does not answer, is not well."""
    looks: dict[str, Callable[[datetime], HealthPart]] = {
        "database": _database,
        "disk": _disk,
        "mail": _mail,
        "copy": _copy,
        "clock": _clock,
        "timed": _timed,
    }
    return {name: _safely(one, now) for name, one in looks.items()}


def told(parts: dict[str, HealthPart]) -> dict[str, Any]:
    """What the address answers."""
    well = all(part.well for part in parts.values())
    return {"well": well, "version": settings.VERSION, **{name: asdict(part) for name, part in parts.items()}}


def _safely(look_at: Callable[[datetime], HealthPart], now: datetime) -> HealthPart:
    try:
        return look_at(now)
    except (DatabaseError, OSError):
        return HealthPart(False)


def _database(now: datetime) -> HealthPart:
    began = time.perf_counter()
    User.objects.filter(is_active=True).exists()
    took = round((time.perf_counter() - began) * 1000)
    return HealthPart(took < SLOW_DATABASE_MS, {"ms": took})


def _disk(now: datetime) -> HealthPart:
    """The disk of the data and that of the copies, where it is another."""
    data = shutil.disk_usage(settings.DATA_DIR)
    copies = shutil.disk_usage(_there(Path(settings.SHOP_COPIES)))
    facts = {"free_percent": _percent(data), "copies_free_percent": _percent(copies)}
    return HealthPart(_has_room(data) and _has_room(copies), facts)


def _has_room(usage: Any) -> bool:
    enough = _percent(usage) >= LEAST_FREE_PERCENT or usage.free >= 20 * LEAST_FREE
    return enough and usage.free >= LEAST_FREE


def _percent(usage: Any) -> float:
    return round(100 * usage.free / usage.total, 1)


def _there(folder: Path) -> Path:
    """The folder, or the nearest above it: the first copy makes it."""
    return next(place for place in (folder, *folder.parents) if place.exists())


def _mail(now: datetime) -> HealthPart:
    waiting = Mail.objects.filter(state__in=(Mail.WAITING, Mail.SENDING))
    oldest = waiting.order_by("written_at").values_list("written_at", flat=True).first()
    age = max(now - oldest, timedelta()) if oldest else timedelta()
    needs_a_person = Mail.objects.filter(state__in=(Mail.REFUSED, Mail.PERHAPS)).count()
    facts = {"waiting": waiting.count(), "oldest_minutes": _minutes(age), "needs_a_person": needs_a_person}
    return HealthPart(age <= MAIL_WAITS_AT_MOST, facts)


def _copy(now: datetime) -> HealthPart:
    age = proven_age(now)
    days = None if age is None else round(age / timedelta(days=1), 1)
    return HealthPart(not copy_is_overdue(now), {"proven_days": days})


def _clock(now: datetime) -> HealthPart:
    """Compare the clock with what was written before: the database's own, and when timed work began."""
    ahead = max((run.began - now for run in read_runs(_data()).values()), default=timedelta())
    apart = abs(_database_clock(now) - now)
    off = max(ahead, apart, timedelta())
    return HealthPart(off <= CLOCK_SLACK, {"off_seconds": round(off.total_seconds())})


def _database_clock(now: datetime) -> datetime:
    if connection.vendor == "sqlite":
        return now  # the same clock
    with connection.cursor() as cursor:
        cursor.execute("SELECT clock_timestamp()")
        return cursor.fetchone()[0]


def _timed(now: datetime) -> HealthPart:
    """Whether each job came to a good end in time, and none ended badly since."""
    runs = read_runs(_data())
    late = [job.name for job in JOBS if is_late(job, runs.get(job.name, NEVER), now)]
    failed = [job.name for job in JOBS if runs.get(job.name, NEVER).failed]
    return HealthPart(not late and not failed, {"late": late, "failed": failed})


def _data() -> Path:
    return Path(settings.DATA_DIR)


def _minutes(age: timedelta) -> int:
    return int(age / timedelta(minutes=1))
