"""Each vehicle's forecast as a bar: all on one scale of days, the latest first, and words where no day is known."""

from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest
from django.utils import timezone

from shop.planning.forecast_text import LEAST_DAYS, SURE, WIDTH, ShownFinish, how_late, vehicle_bars
from shop.planning.inputs import read_shop
from shop.planning.outlook import Outlook
from tests.factories.jobs import make_job, make_step
from tests.factories.planning import in_days
from tests.factories.vehicles import make_vehicle
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


def one_step_job(*, hours: int, wanted: int | None, model: str = "Fell"):
    job = make_job(vehicle=make_vehicle(model=model), wanted_by=None if wanted is None else in_days(wanted))
    make_step(job=job, title="Strip", hours_estimated=Decimal(hours))
    return job


def bars():
    return vehicle_bars(read_shop(timezone.localdate()))


def test_a_short_job_is_on_time_and_its_day_wanted_stands_to_scale():
    one_step_job(hours=2, wanted=14)
    (bar,) = bars()
    assert (bar.verdict, bar.late) == ("on time", False)
    assert bar.wanted == WIDTH * 14 / LEAST_DAYS
    assert 0 <= bar.likely <= bar.sure < bar.wanted
    assert f"{SURE} by" in bar.dates
    assert "wanted" in bar.dates
    assert bar.in_short.startswith("likely ")
    assert SURE not in bar.in_short, "the end of the bar shows it"


def test_a_long_job_is_late_by_days_and_comes_first():
    one_step_job(hours=2, wanted=14)
    late = one_step_job(hours=400, wanted=5, model="Tarn")
    first, second = bars()
    assert first.job == late
    assert first.late
    assert first.verdict.startswith("likely ")
    assert first.verdict.endswith("days late")
    assert max(first.sure, second.sure) == WIDTH
    assert second.wanted < WIDTH * 14 / LEAST_DAYS, "the longest job sets the scale of all"


@pytest.mark.parametrize(
    ("likely", "sure", "said"),
    [
        (20, 30, "likely 6 days late"),
        (10, 30, "may be late"),
        (10, 14, "on time"),
        (20, None, "likely 6 days late"),
        (10, None, "not known whether it can be kept"),
    ],
)
def test_likely_is_said_of_the_day_as_likely_as_not_and_on_time_of_the_one_that_is_sure(likely, sure, said):
    shown = ShownFinish(make_job(), in_days(likely), sure and in_days(sure), in_days(99), 60, (), "")
    assert how_late(shown, in_days(14)) == said


@pytest.mark.parametrize(
    ("percent", "verdict", "said"),
    [(80, "", "80\u00a0% sure by"), (79, "no date", "79\u00a0% sure by"), (0, "no date", "no record says when")],
)
def test_one_chance_in_a_hundred_less_takes_no_day_away(percent, verdict, said):
    """A supplier nobody has a record of makes parts that are still to be ordered a little less sure, and no more."""
    make_step(job=make_job(wanted_by=None))
    reading = read_shop(timezone.localdate())
    (finish,) = reading.forecast.finishes.values()
    known = np.arange(1000) < 10 * percent
    held = replace(finish, days=np.repeat(finish.days[:1], 1000), known=known)
    (bar,) = vehicle_bars(reading, Outlook({finish.vehicle: held}, {}, {}))
    assert bar.verdict.startswith(verdict)
    assert said in bar.dates


def test_without_a_day_wanted_the_day_likely_stands_alone():
    one_step_job(hours=2, wanted=None)
    (bar,) = bars()
    assert (bar.wanted, bar.late, bar.dates) == (None, False, f"{SURE} by then")


def test_a_job_that_cannot_be_finished_says_why_and_has_no_bar():
    job = one_step_job(hours=2, wanted=5)
    reading = replace(read_shop(timezone.localdate()), stopped={job.pk: "the clutch will not come"})
    bar = vehicle_bars(reading)[0]
    assert (bar.verdict, bar.dates, bar.late, bar.sure) == (
        "cannot be finished",
        "the clutch will not come",
        True,
        None,
    )


def test_the_jobs_of_one_vehicle_are_told_apart_where_a_phone_shows_the_vehicle_alone(owner):
    first = one_step_job(hours=2, wanted=14)
    assert [bar.of_several for bar in bars()] == [False]
    make_step(job=make_job(vehicle=first.vehicle, title="Propshaft"), hours_estimated=Decimal(2))
    assert [bar.of_several for bar in bars()] == [True, True]
    assert collapsed(owner.get("/")).count('class="note needed"') == 2
