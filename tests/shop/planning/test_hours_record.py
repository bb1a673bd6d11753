"""Hours left are drawn from what the shop's finished steps took over their estimates."""

from decimal import Decimal

import numpy as np
import pytest
from django.utils import timezone

from shop.planning.hours_record import OWN_RECORD_FROM, HoursRecord, draw_minutes
from shop.planning.inputs import read_shop
from tests.factories.jobs import make_job, make_step, make_time_entry
from tests.pages import collapsed


def drawn(record, estimated=(600,), logged=(0,), draws=4000):
    return draw_minutes(estimated, logged, HoursRecord(record), draws, np.random.default_rng(2))


def test_from_twenty_finished_steps_on_the_record_stands_alone():
    assert set(np.unique(drawn((1.0,) * 10 + (1.5,) * 10))) == {600, 900}
    assert (drawn((2.0,) * OWN_RECORD_FROM) == 1200).all()


def test_while_few_each_counts_one_in_twenty_and_the_estimate_has_the_rest():
    minutes = drawn((2.0,) * 5)
    assert set(np.unique(minutes)) == {600, 1200}
    assert np.mean(minutes == 1200) == pytest.approx(5 / OWN_RECORD_FROM, abs=0.03)


def test_hours_logged_are_taken_off_the_drawn_whole_and_a_tenth_stays():
    assert set(np.unique(drawn((1.0,) * 10 + (1.5,) * 10, logged=(480,)))) == {120, 420}
    assert (drawn((1.0,) * OWN_RECORD_FROM, logged=(900,)) == 60).all()


def test_without_a_record_the_estimates_stand_as_they_are():
    assert drawn(()) is None
    assert "no step with hours logged is finished yet" in HoursRecord().words


def test_the_words_give_the_number_it_rests_on_and_the_rule_while_few():
    assert "record of 1 finished step, which took 1.50 times" in HoursRecord((1.5,)).words
    assert "each counts 1 in 20" in HoursRecord((1.5,)).words
    assert "1 in 20" not in HoursRecord((1.5,) * 20).words


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
