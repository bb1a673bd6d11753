"""Hours left are drawn from what the shop's finished steps took over their estimates."""

import numpy as np
import pytest

from shop.planning.hours_record import OWN_RECORD_FROM, HoursRecord, draw_minutes


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
