"""Work that takes longer than a page should: begun by a press, done in a thread, followed on a page of its own.

Who pressed may leave the page: the work goes on, and its page, and Today, say how far it is and what came of it. Where
the site was ended meanwhile, the page says so and begins it again. Each room declares its kinds in its `long_work.py`::

    LONG_WORK = [LongKind("orders.import", run=import_orders, action="orders.order", leads_to="orders:orders")]
"""

from __future__ import annotations

import logging
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from functools import cache
from threading import Thread
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import OperationalError, connection
from django.utils import timezone

from shop.base.declared import declared
from shop.base.language import gettext_lazy
from shop.base.models import LongWork
from shop.base.plan_statistics import MANY, count_anew
from shop.base.roles import require
from shop.base.table_marks import known_tables

KEPT_FOR = timedelta(days=30)
BUSY = gettext_lazy("The database did not answer.")
BROKE = gettext_lazy("Something broke. What was written until then is on record.")
log = logging.getLogger(__name__)


@dataclass(frozen=True)
class WorkProgress:
    """How far a work is: how many of how many, and once it is done, what came of it in words."""

    done: int
    total: int
    words: str = ""


@dataclass(frozen=True)
class LongKind:
    """A kind of long work. `run(given, person)` does it and tells its progress step by step, the last with its result.

    Begun again, `run` goes on with what is left. It may be `silent` for so long [s] before it is taken for ended.
    `leads_to` names the address of what it made.
    """

    name: str
    run: Callable[[dict[str, Any], User], Iterator[WorkProgress]]
    action: str
    leads_to: str
    silent: int = 60
    note: str = ""


@cache
def long_kinds() -> dict[str, LongKind]:
    """Every kind that the rooms declare, by name."""
    return {kind.name: kind for kind in declared("long_work", "LONG_WORK")}


def begin(kind: str, *, title: str, given: dict[str, Any], person: User, now: datetime) -> LongWork:
    """Keep what is to be done and begin it. Raises PermissionDenied."""
    require(person, long_kinds()[kind].action)
    LongWork.objects.filter(ended_at__lt=now - KEPT_FOR).delete()
    work = LongWork.objects.create(kind=kind, title=title, given=given, person_id=person.pk, asked_at=now, beat_at=now)
    _set_going(work)
    return work


def begin_again(work: LongWork, *, person: User, now: datetime) -> LongWork:
    """Go on with a work whose process was ended, or that met a fault. Nothing happens while it is at work.

    Of two who press at once, one begins it: who finds that it was heard of since leaves it alone.
    """
    require(person, long_kinds()[work.kind].action)
    if is_running(work, now) or (work.ended_at and not work.fault):
        return work
    as_seen = LongWork.objects.filter(pk=work.pk, beat_at=work.beat_at, ended_at=work.ended_at)
    work.beat_at, work.ended_at, work.fault = now, None, ""
    if as_seen.update(beat_at=now, ended_at=None, fault=""):
        _set_going(work)
    return work


def is_running(work: LongWork, now: datetime) -> bool:
    """Whether a work is not ended, and was heard of lately enough to be taken for one that is being done."""
    return work.ended_at is None and now - work.beat_at < timedelta(seconds=long_kinds()[work.kind].silent)


def works_of(person: User, now: datetime) -> list[LongWork]:
    """A person's works that are not ended, or were within a day, the latest first."""
    rows = LongWork.objects.filter(person=person, asked_at__gt=now - timedelta(days=1))
    return list(rows.defer("given").order_by("-asked_at")[:5])


def _set_going(work: LongWork) -> None:
    if settings.LONG_WORK_IN_THREADS:
        Thread(target=_in_thread, args=[work.pk], daemon=True).start()
    else:
        _do(work)


def _in_thread(key: int) -> None:
    try:
        _do(LongWork.objects.select_related("person").get(pk=key))
    finally:
        connection.close()


def _do(work: LongWork) -> None:
    try:
        for progress in long_kinds()[work.kind].run(work.given, work.person):
            work.done, work.total, work.result = progress.done, progress.total, progress.words
            work.beat_at = timezone.now()
            work.save(update_fields=["done", "total", "result", "beat_at"])
        work.given = {}
    except ValidationError as refused:
        work.fault = " ".join(refused.messages)
    except OperationalError:
        work.fault = BUSY
    except Exception:
        log.exception("long work %s", work.kind)
        work.fault = BROKE
    work.ended_at = timezone.now()
    work.save(update_fields=["given", "fault", "ended_at"])
    if work.done >= MANY:
        with suppress(OperationalError):  # Somebody else writes for long: it is done at night.
            count_anew(connection, sorted(known_tables()))
