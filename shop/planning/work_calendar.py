"""The shop's working days: Monday to Friday less the public holidays of its country, and days closed by the shop."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache
from typing import TYPE_CHECKING

from django.utils.translation import gettext

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MONDAY_TO_FRIDAY = frozenset(range(5))


@dataclass(frozen=True)
class WorkCalendar:
    """Which days are worked. `country` and `region` are ISO 3166 codes ("DE", "BY"); an empty country has no holidays.

    `closed` are days the shop itself is shut; `weekdays` counts Monday as 0.
    """

    country: str = ""
    region: str = ""
    closed: frozenset[date] = frozenset()
    weekdays: frozenset[int] = MONDAY_TO_FRIDAY

    def is_worked(self, day: date) -> bool:
        """Say whether the shop works on `day`."""
        if day.weekday() not in self.weekdays or day in self.closed:
            return False
        return day not in _public_holidays(self.country, self.region, day.year)

    def first_days(self, start: date, count: int) -> NDArray[np.datetime64]:
        """Return the first `count` working days from `start` on, as an array of days.

        Raises ValueError when no weekday is worked.
        """
        if not self.weekdays:
            raise ValueError(gettext("a shop that works on no day of the week never finishes anything"))
        least = 256
        return _worked_days(self, start, max(least, 1 << (count - 1).bit_length()))[:count]


@lru_cache(maxsize=16)
def _worked_days(calendar: WorkCalendar, start: date, count: int) -> NDArray[np.datetime64]:
    """The same for every forecast of a day, and asked for twice by each: kept, in few lengths, for nobody to change."""
    import numpy as np

    days: list[date] = []
    day = start
    while len(days) < count:
        if calendar.is_worked(day):
            days.append(day)
        day += timedelta(days=1)
    found = np.array(days, dtype="datetime64[D]")
    found.setflags(write=False)
    return found


def known_country(country: str, region: str = "") -> bool:
    """Say whether the public holidays of a country, and of its region, are known."""
    import holidays

    regions = holidays.list_supported_countries().get(country)
    return regions is not None and (not region or region in regions)


@lru_cache(maxsize=64)
def _public_holidays(country: str, region: str, year: int) -> Collection[date]:
    if not country:
        return frozenset()
    import holidays

    return frozenset(holidays.country_holidays(country, subdiv=region or None, years=year))
