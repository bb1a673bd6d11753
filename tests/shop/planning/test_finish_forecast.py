"""P50 and P80 finish, what decides it, and what a part a week sooner changes."""

from dataclasses import fields, replace
from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.orders.past_order import PastOrder
from shop.orders.supplier_record import Record
from shop.orders.supplier_spread import fit_spread
from shop.planning.finish_forecast import Decider, FinishDays, Forecast, ForecastInputs
from shop.planning.late import days_sooner
from shop.planning.network import Shop, WorkItem
from shop.planning.work_calendar import WorkCalendar

WEDNESDAY = date(2026, 11, 25)
DAY = 480


def work(key, days, after=(), parts=(), vehicle="van"):
    return WorkItem(key, vehicle, int(days * DAY), tuple(after), tuple(parts))


def forecast(steps, hands=1, today=WEDNESDAY, calendar=None, minutes=None, **arrivals):
    arrivals = {part: np.asarray(days) for part, days in arrivals.items()}
    draws = max((len(days) for days in arrivals.values()), default=1 if minutes is None else minutes.shape[1])
    calendar = calendar or WorkCalendar()
    return Forecast(ForecastInputs(today, steps, Shop({"fitter": hands}, DAY), calendar, arrivals, minutes, draws))


def test_a_day_of_work_is_done_today():
    assert forecast([work("a", 1)]).finishes["van"].p50 == WEDNESDAY


def test_the_weekend_is_not_worked():
    finish = forecast([work("a", 4)]).finishes["van"]
    assert finish.p50 == finish.p80 == date(2026, 11, 30), "Wednesday, Thursday, Friday, Monday"


def test_holidays_are_not_worked():
    steps, eve = [work("a", 2)], date(2026, 12, 24)
    assert forecast(steps, today=eve, calendar=WorkCalendar("DE", "BY")).finishes["van"].p50 == date(2026, 12, 28)


def test_a_part_is_used_from_the_working_day_after_it_comes():
    steps = [work("mount", 1, parts=["clutch"])]
    assert forecast(steps, clutch=[1]).finishes["van"].p50 == date(2026, 11, 27), "comes Thursday, used Friday"
    assert forecast(steps, clutch=[2]).finishes["van"].p50 == date(2026, 11, 30), "comes Friday, used Monday"
    assert forecast(steps, clutch=[3]).finishes["van"].p50 == date(2026, 11, 30), "comes Saturday, used Monday"


def test_p50_and_p80_are_days_by_which_so_many_draws_are_done():
    finish = forecast([work("mount", 1, parts=["clutch"])], clutch=range(7, 77, 7)).finishes["van"]
    assert finish.p50 == WEDNESDAY + timedelta(days=5 * 7 + 1)
    assert finish.p80 == WEDNESDAY + timedelta(days=8 * 7 + 1)


def test_the_late_part_decides():
    steps = [work("a", 2), work("mount", 1, ["a"], ["clutch"])]
    finish = forecast(steps, clutch=[30, 30, 30, 0]).finishes["van"]
    assert finish.deciders == (Decider("part", "clutch", 0.75), Decider("step", "a", 0.25))


def test_the_longest_step_of_the_chain_decides_when_all_parts_are_here():
    steps = [work("strip", 1), work("make", 5, ["strip"]), work("lamps", 4)]
    assert forecast(steps, hands=9).finishes["van"].deciders == (Decider("step", "make", 1.0),)


def test_hands_decide_when_work_waits_for_them():
    steps = [work("a", 9, vehicle="car"), work("b", 2, vehicle="van")]
    assert forecast(steps).finishes["van"].deciders == (Decider("hands", "fitter", 1.0),)


def test_a_part_a_week_sooner_moves_what_it_decides_and_nothing_else():
    steps = [work("mount", 1, parts=["clutch"]), work("b", 15, parts=["shaft"], vehicle="car")]
    made = forecast(steps, hands=2, clutch=[28, 28], shaft=[7, 7])
    sooner = made.with_part_sooner("clutch")
    assert (made.finishes["van"].p80 - sooner.finishes["van"].p80).days == 7
    assert made.finishes["car"].p80 == sooner.finishes["car"].p80


def test_a_part_due_tomorrow_cannot_come_a_week_ago():
    made = forecast([work("mount", 1, parts=["clutch"])], clutch=[1, 1])
    assert made.with_part_sooner("clutch").finishes["van"].p50 == WEDNESDAY + timedelta(days=1)


def test_vehicles_without_open_steps_have_no_forecast():
    assert forecast([]).finishes == {}


def test_uncertain_minutes_move_the_finish():
    steps = [work("a", 2), work("b", 1)]
    late = forecast(steps, minutes=np.full((2, 500), 1440))
    assert late.finishes["van"].p50 > WEDNESDAY + timedelta(days=2)


LAWS = {
    "gamma": lambda rng, n: np.ceil(rng.gamma(2, 12, n)),
    "mostly prompt, sometimes months": lambda rng, n: np.ceil(
        np.where(rng.random(n) < 0.7, rng.uniform(0, 6, n), rng.exponential(50, n))
    ),
}


@pytest.mark.parametrize("law", LAWS.values(), ids=LAWS.keys())
@pytest.mark.parametrize("parts", [1, 3])
def test_the_stated_p80_covers_75_to_85_percent_of_finishes(law, parts):
    """Records of 40 past orders, parts first promised for today; the finishes then drawn from the true law."""
    rng = np.random.default_rng(8)
    names = [f"part {n}" for n in range(parts)]
    steps = [work("strip", 2), *(work(f"fit {name}", 1, ["strip"], [name]) for name in names)]
    steps.append(work("hand over", 1, [f"fit {name}" for name in names]))
    covered = []
    for _ in range(60):
        past = tuple(PastOrder(WEDNESDAY, WEDNESDAY + timedelta(days=int(late)), arrived=True) for late in law(rng, 40))
        wait = Record(0, past, len(past), fit_spread({0: past})).wait(0)
        stated = forecast(steps, hands=4, **{name: wait.draw(400, rng) for name in names}).finishes["van"].p80
        truth = forecast(steps, hands=4, **{name: np.maximum(law(rng, 400), 1).astype(int) for name in names})
        covered.append(np.mean(truth.finishes["van"].days <= np.datetime64(stated)))
    assert 0.75 <= np.mean(covered) <= 0.85


OTHERWISE = {
    "today": date(2026, 11, 26),
    "steps": [work("a", 2, parts=["clutch"])],
    "shop": Shop({"fitter": 2}, DAY),
    "calendar": WorkCalendar("DE", "BY"),
    "arrivals": {"clutch": np.asarray([1, 4])},
    "minutes": np.asarray([[480, 490]]),
    "draws": 3,
    "known_days": {"clutch": 2},
}


def test_the_fingerprint_tells_of_every_field_and_of_nothing_else():
    asked = forecast([work("a", 1, parts=["clutch"])], clutch=[1, 3]).inputs
    again = forecast([work("a", 1, parts=["clutch"])], clutch=[1, 3]).inputs
    assert asked.fingerprint == again.fingerprint
    others = {replace(asked, **{field.name: OTHERWISE[field.name]}).fingerprint for field in fields(asked)}
    assert len(others | {asked.fingerprint}) == len(OTHERWISE) + 1


def finish_of(known: int, *, last: int = 0):
    """100 draws of which `known` rest on a record; their days run up, the last `last` of them two weeks later."""
    days = np.array([np.datetime64(WEDNESDAY + timedelta(days=n + 14 * (n >= 100 - last))) for n in range(100)])
    return FinishDays("van", days, np.arange(100) < known)


def test_a_finish_that_is_not_sure_says_how_sure_its_last_known_day_is():
    finish = finish_of(79)
    assert (finish.p80, finish.known_percent, finish.known_to) == (None, 79, WEDNESDAY + timedelta(days=78))
    assert finish_of(80).p80 == WEDNESDAY + timedelta(days=79)


def test_what_a_part_costs_is_read_at_the_surest_finish_that_both_records_reach():
    later = replace(finish_of(70), days=finish_of(70).days + 9)
    assert days_sooner(finish_of(100, last=30), finish_of(100)) == 14
    assert days_sooner(later, finish_of(100)) == 9, "not the last day of the one against the P80 of the other"
    assert days_sooner(finish_of(0), finish_of(100)) == 0


@given(st.data())
def test_the_days_of_one_vehicle_are_those_that_it_has_among_all(data):
    vehicles = ("van", "car", "bus")[: data.draw(st.integers(1, 3))]
    keys = data.draw(st.lists(st.sampled_from("abcdefgh"), min_size=1, max_size=8, unique=True))
    steps = []
    for n, key in enumerate(keys):
        after = data.draw(st.sets(st.sampled_from(keys[:n]), max_size=2)) if n else ()
        parts = data.draw(st.sets(st.sampled_from(["clutch", "shaft"]), max_size=2))
        steps.append(work(key, data.draw(st.integers(0, 3)), after, parts, data.draw(st.sampled_from(vehicles))))
    late = {part: data.draw(st.lists(st.integers(0, 40), min_size=4, max_size=4)) for part in ("clutch", "shaft")}
    minutes = np.array(data.draw(st.lists(st.integers(0, 2000), min_size=4 * len(steps), max_size=4 * len(steps))))
    asked = forecast(steps, data.draw(st.integers(1, 2)), minutes=minutes.reshape(-1, 4), **late)
    for vehicle, finish in asked.finishes.items():
        alone = asked.days_of(vehicle)
        assert (alone.days == finish.days).all()
        assert (alone.known == finish.known).all()


def test_a_step_goes_first_for_what_hangs_on_it_in_a_vehicle_that_is_served_later():
    steps = [
        work("sweep", 0, vehicle="bus"),
        work("fit", 0),
        work("cut", 0),
        work("weld", 1, ["cut"], vehicle="car"),
        work("polish", 0, ["fit"], vehicle="bus"),
    ]
    asked = forecast(steps, minutes=np.array([[0], [0], [1106], [0], [335]]))
    assert (asked.days_of("van").days == asked.finishes["van"].days).all()


def test_what_was_drawn_of_the_same_inputs_is_not_drawn_again():
    one, other = (forecast([work("a", 1, parts=["clutch"])], clutch=[1, 5]) for _ in range(2))
    assert one.finishes is other.finishes
    assert one.with_part_sooner("clutch", 1).finishes is not one.finishes
