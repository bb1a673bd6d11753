"""Wait, or buy elsewhere: both ways side by side, in days, money and finish."""

from datetime import date, timedelta
from decimal import Decimal

import numpy as np
import pytest

from shop.orders.past_order import PastOrder
from shop.orders.supplier_record import Record
from shop.orders.supplier_spread import fit_spread
from shop.planning.comparison import (
    ASSUMPTIONS,
    Elsewhere,
    Waiting,
    compare,
)
from shop.planning.finish_forecast import Forecast, ForecastInputs
from shop.planning.network import Shop, WorkItem
from shop.planning.work_calendar import WorkCalendar

TODAY = date(2026, 11, 25)


def record(*days_late):
    past = tuple(PastOrder(TODAY, TODAY + timedelta(days=days), arrived=True) for days in days_late)
    return Record(0, past, len(past), fit_spread({0: past}))


SLOW = record(*range(10, 110, 5))
PROMPT = record(*([0] * 19), 2)


def van(draws=2000, extra=()):
    steps = [WorkItem("mount", "van", 480, (), ("clutch",)), *extra]
    arrivals = {"clutch": np.full(draws, 400)}
    return Forecast(ForecastInputs(TODAY, steps, Shop({"fitter": 2}, 480), WorkCalendar(), arrivals, draws=draws))


def compared(waiting, other, forecast=None):
    return compare(forecast or van(), "clutch", "van", waiting, other, np.random.default_rng(4))


def test_a_prompt_supplier_beats_a_long_wait():
    choice = compared(Waiting("Slow", SLOW, 20), Elsewhere("Prompt", PROMPT, 7, Decimal("90"), Decimal("30")))
    assert choice.elsewhere.here_p50 == TODAY + timedelta(days=7)
    assert choice.waiting.here_p50 > choice.elsewhere.here_p80
    assert choice.days_gained > 0
    assert choice.elsewhere.extra_cost == 120
    assert choice.cost_of_a_day == (Decimal(120) / choice.days_gained).quantize(Decimal("0.01"))


def test_the_day_stated_for_waiting_is_the_conditional_one():
    choice = compared(Waiting("Slow", SLOW, 20), Elsewhere("Prompt", PROMPT, 7))
    wait = SLOW.wait(20)
    assert abs((choice.waiting.here_p50 - TODAY).days - wait.median) <= 4
    assert abs((choice.waiting.here_p80 - TODAY).days - wait.four_in_five) <= 4


def test_a_long_lead_time_makes_it_later_and_says_so():
    choice = compared(Waiting("Prompt", PROMPT, -2), Elsewhere("Slow", SLOW, 60))
    assert choice.days_gained < 0
    assert choice.sooner < 0.05
    assert choice.cost_of_a_day is None


def test_the_chance_of_being_first_runs_from_none_to_certain():
    certain = compared(Waiting("Slow", SLOW, 5, not_before=60), Elsewhere("Prompt", PROMPT, 7))
    assert certain.sooner > 0.95


def test_a_finish_decided_by_something_else_does_not_move():
    paint = WorkItem("paint", "van", 200 * 480)
    choice = compared(Waiting("Slow", SLOW, 20), Elsewhere("Prompt", PROMPT, 7), van(extra=[paint]))
    assert choice.days_gained == 0


def test_a_cheaper_way_costs_no_day():
    choice = compared(Waiting("Slow", SLOW, 20), Elsewhere("Prompt", PROMPT, 7, Decimal("-15.50")))
    assert choice.elsewhere.extra_cost == Decimal("-15.50")
    assert choice.cost_of_a_day is None


def test_both_ways_say_what_they_rest_on():
    choice = compared(Waiting("Slow", SLOW, 20), Elsewhere("Prompt", PROMPT, 7))
    assert "20 arrived" in choice.waiting.grounds
    assert len(ASSUMPTIONS) >= 4


def test_a_negative_lead_time_is_refused():
    with pytest.raises(ValueError, match="below 0 days"):
        compared(Waiting("Slow", SLOW, 20), Elsewhere("Prompt", PROMPT, -7))
