"""Forecasts that are drawn in one run come, draw by draw, to what each comes to by itself."""

from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.planning import drawn_together, kept_finishes
from shop.planning.drawn_together import days_of_each
from shop.planning.finish_forecast import Forecast, ForecastInputs
from shop.planning.network import Shop, WorkItem
from shop.planning.work_calendar import WorkCalendar

DRAWS = 40


@pytest.fixture(autouse=True)
def nothing_kept(monkeypatch):
    monkeypatch.setattr(kept_finishes, "_finishes", type(kept_finishes._finishes)())


def a_shop(seed: int, *, hands: int, across: bool, drawn_minutes: bool) -> Forecast:
    """Three vehicles of up to seven steps, most of which wait for a part; `across`: one for a step of a later one."""
    rng = np.random.default_rng(seed)
    steps, arrivals, known = [], {}, {}
    for vehicle in range(3):
        count = int(rng.integers(1, 8))
        for n in range(count):
            after = tuple({(vehicle, int(m)) for m in rng.integers(0, n, size=2)}) if n else ()
            parts = ((vehicle, n, "part"),) if rng.random() < 0.7 else ()
            for part in parts:
                arrivals[part] = rng.integers(0, 60, DRAWS)
                if rng.random() < 0.5:
                    known[part] = int(rng.integers(0, 60))
            trade = ("fitter", "machinist")[int(rng.integers(2))]
            steps.append(WorkItem((vehicle, n), vehicle, int(rng.integers(0, 2000)), after, parts, trade))
    if across:
        steps.insert(0, WorkItem((0, "last"), 0, 60, ((2, 0),)))
    minutes = rng.integers(0, 1500, (len(steps), DRAWS)) if drawn_minutes else None
    shop, calendar = Shop({"fitter": hands, "machinist": 1}, 480), WorkCalendar("DE", "BY")
    return Forecast(ForecastInputs(date(2026, 3, 2), steps, shop, calendar, arrivals, minutes, DRAWS, known))


def variants(forecast: Forecast, rng: np.random.Generator) -> list[Forecast]:
    """The forecast itself, and for each part one in which it is here, comes sooner, comes on other days."""
    found = [forecast]
    for part, days in forecast.inputs.arrivals.items():
        found += [forecast.with_arrival(part, days * 0), forecast.with_part_sooner(part)]
        found.append(forecast.with_arrival(part, rng.integers(0, 300, DRAWS), 30))
    return found


@settings(max_examples=30, deadline=None)
@given(
    seed=st.integers(0, 10**6),
    hands=st.integers(1, 3),
    across=st.booleans(),
    drawn_minutes=st.booleans(),
    together=st.sampled_from([1, DRAWS, 3 * DRAWS, 4_000]),
)
def test_each_draw_is_as_by_itself(seed, hands, across, drawn_minutes, together):
    forecasts = variants(
        a_shop(seed, hands=hands, across=across, drawn_minutes=drawn_minutes), np.random.default_rng(seed)
    )
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(drawn_together, "TOGETHER", together)
        for vehicle in range(3):
            kept_finishes._finishes.clear()
            found = days_of_each(forecasts, vehicle)
            assert len(found) == len(forecasts)
            for one, forecast in zip(found, forecasts, strict=True):
                kept_finishes._finishes.clear()
                whole = Forecast(forecast.inputs).finishes[vehicle]
                assert (one.days == whole.days).all()
                assert (one.known == whole.known).all()


def test_what_is_kept_of_one_vehicle_stands_while_only_later_ones_move():
    forecast = a_shop(7, hands=2, across=False, drawn_minutes=True)
    days_of_each([forecast], 0)
    moved = forecast
    for part in forecast.inputs.arrivals:
        if part[0] == 2:
            moved = moved.with_part_sooner(part)
    kept = len(kept_finishes._finishes)
    days_of_each([moved], 0)
    assert len(kept_finishes._finishes) == kept
    days_of_each([moved], 2)
    assert len(kept_finishes._finishes) == kept + 1


def test_no_forecast_is_no_run():
    assert days_of_each([], 0) == []


def test_what_was_asked_for_last_stays_kept(monkeypatch):
    monkeypatch.setattr(kept_finishes, "MOST_KEPT", 2)
    for key in (b"a", b"b", b"a", b"c"):
        kept_finishes.kept(key, key.decode)
    assert kept_finishes.find(b"a") == "a"
    assert kept_finishes.find(b"b") is None
