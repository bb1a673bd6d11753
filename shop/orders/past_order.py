"""One order as the records of suppliers see it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class PastOrder:
    """One order for the record: the day first promised, and the day it arrived or the day until which it was open.

    `ended_on` is the day of arrival when `arrived`, else the last day it was known to be open: today, or the day it was
    cancelled. Where the supplier never gave a day (`was_dated` False), `first_promised` is the day on which the shop's
    other orders, placed on the same day, would have been promised.
    """

    first_promised: date
    ended_on: date
    arrived: bool
    was_dated: bool = True

    @property
    def days_late(self) -> int:
        return (self.ended_on - self.first_promised).days
