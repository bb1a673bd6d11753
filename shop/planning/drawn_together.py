"""Forecasts that differ in when parts arrive and in nothing else, drawn in one run, each as further draws of it.

Draws never meet in a run (`network.run`), so each comes to what it would by itself, draw by draw; and a run of some
thousand draws costs little more than one of three hundred.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import replace
from typing import Any

from shop.planning.finish_forecast import FinishDays, Forecast
from shop.planning.kept_finishes import find, keep

TOGETHER = 4_000
"""Draws of one run. What hands have left on each day, its largest arrays, are some megabytes with so many."""


def days_of_each(forecasts: Sequence[Forecast], vehicle: Hashable) -> list[FinishDays]:
    """Return when one vehicle is done by each of some forecasts, as `Forecast.days_of`.

    They are of the same day, steps, shop, minutes and number of draws.
    """
    those = [forecast.up_to(vehicle) for forecast in forecasts]
    keys = [one.key_of(vehicle) for one in those]
    found: dict[bytes, FinishDays | None] = {key: find(key) for key in keys}
    lacking = {key: one for key, one in zip(keys, those, strict=True) if found[key] is None}
    for key, drawn in _drawn(lacking, vehicle).items():
        keep(key, drawn)
        found[key] = drawn
    return [days for key in keys if (days := found[key])]


def _drawn(lacking: dict[bytes, Forecast], vehicle: Hashable) -> dict[bytes, FinishDays]:
    found, keys = {}, list(lacking)
    at_once = max(1, TOGETHER // lacking[keys[0]].inputs.draws) if keys else 1
    for at in range(0, len(keys), at_once):
        batch = keys[at : at + at_once]
        days = _together([lacking[key] for key in batch]).last_days(vehicle)
        for key, own in zip(batch, days.reshape(len(batch), -1), strict=True):
            found[key] = FinishDays(vehicle, own, lacking[key].known(vehicle))
    return found


def _together(forecasts: Sequence[Forecast]) -> Forecast:
    """One forecast with the draws of all, one after the other."""
    import numpy as np

    first, every = forecasts[0].inputs, [one.inputs.arrivals for one in forecasts]
    arrivals: dict[Any, Any] = {part: np.concatenate([one[part] for one in every]) for part in first.arrivals}
    minutes = None if first.minutes is None else np.tile(first.minutes, len(forecasts))
    draws = first.draws * len(forecasts)
    return Forecast(replace(first, arrivals=arrivals, minutes=minutes, draws=draws))
