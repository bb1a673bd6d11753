"""How many days of its job's finish each late line costs. Handed to the orders at start (`apps.py`)."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from shop.orders.models import OrderLine
from shop.planning.situation import read_shop

DRAWS = 300
"""Fewer draws than a forecast page: the list needs an order, and one forecast for each line."""


def finish_days(lines: Sequence[OrderLine], today: date) -> dict[int, int]:
    """Return the calendar days by which the job's P80 finish would come sooner if the line were here today."""
    reading = read_shop(today, DRAWS)
    now = reading.forecast.finishes
    days = {}
    for line in lines:
        if line.part_need is None:
            continue
        part, job = ("part", line.part_need.pk), line.part_need.step.job_id
        if part in reading.forecast.situation.arrivals and job in now:
            if_here = reading.forecast.with_arrival(part, reading.forecast.situation.arrivals[part] * 0)
            days[line.pk] = max(0, (now[job].p80 - if_here.finishes[job].p80).days)
    return days
