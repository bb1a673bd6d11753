"""The forecast page: each vehicle's days, what decides them, what a week sooner would move."""

import re
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.planning.hours_record import OWN_RECORD_FROM
from shop.planning.inputs import read_shop
from tests.factories.jobs import make_decision, make_job, make_part_need, make_step, make_time_entry
from tests.factories.orders import make_delivery, make_promise, make_supplier
from tests.factories.planning import in_days, make_past, make_waiting_job
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


ADDRESS = "/planning/forecast/"


def finish(job):
    return read_shop(timezone.localdate()).forecast.finishes[job.pk]


def test_the_late_part_decides_and_is_named(buyer):
    shop = make_waiting_job()
    make_past(shop.slow, *range(5, 125, 5))
    page = collapsed(buyer.get(ADDRESS))
    # Over a weekend the part may come while the steps before it last, on some runs.
    decided = re.search(r"The wait for clutch kit from Slow Foundry, in (\d+) of 100 runs\.", page)
    assert int(decided[1]) > 90
    assert "Brightwell Tarn" in page
    assert "<svg" in page
    assert "style=" not in page


def test_the_forecast_moves_when_the_part_comes():
    shop = make_waiting_job()
    make_past(shop.slow, *range(5, 125, 5))
    before = finish(shop.job)
    make_delivery(line=shop.line, on=timezone.localdate())
    after = finish(shop.job)
    assert after.p80 < before.p80
    assert after.deciders[0].kind != "part"


def test_nothing_comes_before_the_day_that_a_supplier_named_when_it_put_off():
    shop = make_waiting_job()
    make_past(shop.slow, *[0] * 25)
    make_promise(line=shop.line, latest=in_days(40), given_on=in_days(-2))
    assert finish(shop.job).p50 >= in_days(41)


def test_hours_logged_are_taken_off():
    step = make_step(job=make_job(), hours_estimated=80)
    before = finish(step.job)
    make_time_entry(step=step, hours=20)
    make_time_entry(step=step, hours=20, day=in_days(-3))
    assert finish(step.job).p50 < before.p50


def test_a_part_not_ordered_yet_is_said_and_counted(buyer):
    need = make_part_need(text="pilot bearing")
    page = collapsed(buyer.get(ADDRESS))
    assert "Not ordered yet" in page
    assert "pilot bearing" in page
    assert finish(need.step.job).p50 is None, "no order ever arrived here: nobody knows when it comes"
    assert "no record says when" in page
    make_past(make_supplier(), 0, 5, 9, 20)
    assert finish(need.step.job).p50 > in_days(50), "as long as past orders were on the way"


def test_the_vehicle_wanted_first_is_served_first(people):
    later, sooner = make_job(wanted_by=in_days(90)), make_job(wanted_by=in_days(9))
    for job in (later, sooner):
        make_step(job=job, hours_estimated=40)
    assert finish(sooner).p50 < finish(later).p50


def test_a_wish_that_will_likely_not_be_kept_is_said(buyer):
    step = make_step(job=make_job(wanted_by=in_days(1)), hours_estimated=200)
    page = collapsed(buyer.get(ADDRESS))
    assert "days late" in page
    assert "1 of 1 may miss the day it is wanted." in page
    assert finish(step.job).p80 > in_days(1)


def test_an_open_decision_is_assumed_made_and_said(buyer):
    make_decision(step=make_step())
    assert "Decisions and worksheets that steps wait for are made today." in collapsed(buyer.get(ADDRESS))


def test_no_open_job_says_what_to_do_next(buyer):
    assert "No open job has a step left to do." in collapsed(buyer.get(ADDRESS))


def test_a_trade_that_nobody_has_is_counted_and_said(buyer, people):
    people["machinist"].groups.clear()
    make_step(role="machinist")
    assert "Nobody is a machinist: counted as one pair of hands." in collapsed(buyer.get(ADDRESS))


def test_the_shops_holidays_are_kept(settings):
    settings.SHOP_COUNTRY, settings.SHOP_REGION = "DE", "BY"
    reading = read_shop(timezone.localdate())
    assert reading.forecast.inputs.calendar.country == "DE"


def test_the_page_asks_the_same_number_of_queries_for_one_job_and_for_ten(buyer):
    first = make_waiting_job()
    one = len(queries_of(buyer, ADDRESS))
    for _ in range(9):
        make_waiting_job(slow=first.slow)
    assert len(queries_of(buyer, ADDRESS)) == one


@pytest.mark.django_db
def test_a_shop_that_takes_twice_its_estimates_forecasts_later(buyer, people):
    job = make_job()
    make_step(job=job, hours_estimated=Decimal(40))
    before = read_shop(timezone.localdate()).forecast.finishes[job.pk].p80
    done = {"hours_estimated": Decimal(2), "finished_at": timezone.now(), "finished_by": people["fitter"]}
    for _ in range(OWN_RECORD_FROM):
        past = make_step(job=job, **done)
        make_time_entry(step=past, hours=Decimal(4))
    make_step(job=job, **done, title="nobody tapped")
    reading = read_shop(timezone.localdate())
    assert len(reading.hours.ratios) == OWN_RECORD_FROM
    assert reading.forecast.finishes[job.pk].p80 > before
    assert "record of 20 finished steps, which took 2.00 times" in collapsed(buyer.get("/planning/forecast/"))
