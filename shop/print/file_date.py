"""When a sheet was made, in its file: the moment of its facts, so that the same facts give the same bytes."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from django.utils.timezone import get_current_timezone

_AS_PRINTED = "%d %b %Y %H:%M"


def moment_of(day: str) -> datetime | None:
    """Read the day that a title block shows, "26 Nov 2026 03:15", in the shop's time; None where it is none.

    >>> moment_of("no day") is None
    True
    """
    try:
        return datetime.strptime(day, _AS_PRINTED).replace(tzinfo=get_current_timezone())
    except ValueError:
        return None


def date_file(canvas: Any, moment: datetime | None) -> None:
    """Write a moment into a file as that of its making; left as it is where there is none."""
    if moment is None:
        return
    stamp = canvas._doc._timeStamp
    at = moment.astimezone(UTC)
    stamp.t, stamp.lt, stamp.YMDhms = at.timestamp(), at.timetuple(), tuple(at.timetuple())[:6]
