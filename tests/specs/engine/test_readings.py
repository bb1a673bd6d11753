"""Which reading counts, which contradict, which looks like another unit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine.readings import (
    active,
    disagree,
    disagreements,
    looks_like_other_unit,
    working_reading,
)


@dataclass(frozen=True)
class Reading:
    pk: int
    value: float
    tolerance: float = 0.05
    measured_on: date = date(2026, 3, 2)
    is_deleted: bool = False


def test_the_most_recent_reading_counts():
    old, new = Reading(2, 88.9, measured_on=date(2026, 1, 5)), Reading(1, 88.7, measured_on=date(2026, 2, 5))
    assert working_reading([old, new]) is new


def test_of_one_day_the_reading_recorded_last_counts():
    first, second = Reading(1, 88.9), Reading(2, 88.7)
    assert working_reading([second, first]) is second


def test_a_deleted_reading_does_not_count():
    old, new = Reading(1, 88.9), Reading(2, 88.7, is_deleted=True)
    assert working_reading([old, new]) is old
    assert active([old, new]) == [old]


def test_a_chosen_reading_counts_before_a_more_recent_one():
    old, new = Reading(1, 88.9), Reading(2, 88.7)
    assert working_reading([old, new], chosen=1) is old


def test_a_chosen_reading_that_was_deleted_counts_no_more():
    old, new = Reading(1, 88.9, is_deleted=True), Reading(2, 88.7)
    assert working_reading([old, new], chosen=1) is new


def test_nothing_measured_gives_no_reading():
    assert working_reading([]) is None


def test_readings_within_their_tolerances_agree():
    assert not disagreements([Reading(1, 88.90), Reading(2, 88.99)])


def test_readings_exactly_their_tolerances_apart_agree():
    assert not disagree(Reading(1, 88.9), Reading(2, 89.0))


def test_readings_beyond_their_tolerances_disagree_later_first():
    old, new = Reading(1, 88.9), Reading(2, 89.02)
    assert disagreements([old, new]) == [(new, old)]


def test_a_deleted_reading_contradicts_nothing():
    assert not disagreements([Reading(1, 88.9), Reading(2, 99.0, is_deleted=True)])


@given(st.floats(1e-3, 1e3), st.floats(1e-3, 1e3), st.floats(0, 1), st.floats(0, 1))
def test_disagreement_does_not_depend_on_order(a, b, ta, tb):
    assert disagree(Reading(1, a, ta), Reading(2, b, tb)) == disagree(Reading(2, b, tb), Reading(1, a, ta))


@pytest.mark.parametrize(
    ("value", "others", "factor"),
    [
        (3.5, [88.9, 88.91], 1 / 25.4),
        (2258.0, [88.9], 25.4),
        (88.95, [88.9], None),
        (889.0, [88.9], None),
        (-3.5, [88.9], None),
        (-3.5, [-88.9], 1 / 25.4),
        (3.5, [], None),
        (3.5, [0.0], None),
        (0.0, [88.9], None),
    ],
)
def test_a_reading_about_25_4_times_the_others_looks_like_another_unit(value, others, factor):
    """1 in = 25.4 mm exactly (ISO 31-1:1992, annex A, from memory)."""
    assert looks_like_other_unit(value, others) == factor


@given(st.floats(0.1, 1e4), st.floats(0.97, 1.03))
def test_every_length_typed_in_the_wrong_unit_is_noticed(true, spread):
    assert looks_like_other_unit(true / 25.4, [true * spread]) == 1 / 25.4
    assert looks_like_other_unit(true * 25.4, [true * spread]) == 25.4
