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


def test_steps_of_one_job_overrun_together_as_finished_ones_did():
    """Twelve jobs of four steps each, a job's steps alike: then drawn steps of a job are alike, of two jobs not."""
    rng = np.random.default_rng(3)
    jobs = tuple(np.repeat(range(12), 4))
    ratios = tuple(np.exp(rng.normal(0, 0.5, 12)[list(jobs)] + rng.normal(0, 0.1, 48)))
    record = HoursRecord(ratios, jobs)
    minutes = draw_minutes([600] * 3, [0] * 3, record, 4000, np.random.default_rng(2), ["a", "a", "b"])
    together = np.corrcoef(np.log(minutes))
    assert together[0, 1] > 0.8
    assert abs(together[0, 2]) < 0.1


def test_variances_of_the_one_way_model_written_out():
    """Two jobs of two steps and 16 lacking ones: the analysis of variance by hand, for the four alone."""
    record = HoursRecord(tuple(np.exp([0.1, 0.3, 0.5, 0.9] * 5)), tuple("aabb" * 5))
    logs = np.array([0.1, 0.3, 0.5, 0.9] * 5).reshape(5, 2, 2)
    a, b = logs[:, 0].ravel(), logs[:, 1].ravel()
    within = (((a - a.mean()) ** 2).sum() + ((b - b.mean()) ** 2).sum()) / 18
    among = 10 * ((a.mean() - 0.45) ** 2 + (b.mean() - 0.45) ** 2)
    assert record.variances == pytest.approx(((among - within) / 10, within))


def test_what_a_jobs_own_steps_took_shifts_its_draws():
    record = HoursRecord(tuple(np.exp([0.0, 0.1] * 10 + [1.0, 1.1])), (*np.repeat(range(10), 2), "slow", "slow"))
    assert record.job_effect("slow").mean > 0.8
    assert record.job_effect("new").mean == 0
    assert record.job_effect("slow").deviation < record.job_effect("new").deviation


def test_without_a_record_the_estimates_stand_as_they_are():
    assert drawn(()) is None
    assert "no step with hours logged is finished yet" in HoursRecord().words


def test_the_words_give_the_number_it_rests_on_and_the_rule_while_few():
    assert "record of 1 finished step, which took 1.50 times" in HoursRecord((1.5,)).words
    assert "each counts 1 in 20" in HoursRecord((1.5,)).words
    assert "1 in 20" not in HoursRecord((1.5,) * 20).words
