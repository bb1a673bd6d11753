"""Expected, overdue, slip, silence and what remains to come, at every edge of the calendar."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.orders.rules import (
    SILENT_TOO_LONG,
    EventFacts,
    LineEventKind,
    LineFacts,
    PromiseFacts,
    arrived_on,
    days_behind_first_promise,
    days_overdue,
    expected_on,
    here,
    is_overdue,
    silent_days,
    slip_days,
    to_come,
)


def said(given_on, by=None, *, earliest=None, words=""):
    return PromiseFacts(given_on, earliest or by, by, words)


def make_line(*promises, quantity=1, events=(), last_heard=None, what="the clutch", ordered_on=date(2026, 3, 2)):
    return LineFacts(what, ordered_on, Decimal(quantity), tuple(promises), tuple(events), last_heard)


def came(quantity, on=date(2026, 5, 1)):
    return EventFacts(LineEventKind.DELIVERED, on, Decimal(quantity))


def event(kind, quantity, on=date(2026, 5, 3)):
    return EventFacts(kind, on, Decimal(quantity))


FIRST = said(date(2026, 3, 2), date(2026, 4, 10))
SECOND = said(date(2026, 4, 8), date(2026, 4, 30))
THIRD = said(date(2026, 4, 29), date(2026, 5, 14))


def test_the_latest_promise_sets_the_expected_day():
    assert expected_on([FIRST, SECOND, THIRD]) == date(2026, 5, 14)


def test_promises_count_by_the_day_they_were_given_not_by_the_day_they_were_typed():
    assert expected_on([THIRD, FIRST, SECOND]) == date(2026, 5, 14)


def test_of_two_promises_of_one_day_the_later_typed_stands():
    assert expected_on([FIRST, said(FIRST.given_on, date(2026, 4, 20))]) == date(2026, 4, 20)


def test_no_date_does_not_unsay_the_date_before_it():
    assert expected_on([FIRST, said(date(2026, 4, 12), words="cannot say")]) == date(2026, 4, 10)


def test_without_any_date_nothing_is_expected_and_a_line_is_late_once_the_supplier_is_silent_for_weeks():
    line = make_line(said(date(2026, 3, 2), words="when the casting is in"))
    assert expected_on(line.promises) is None
    assert slip_days(line.promises) is None
    assert not is_overdue(line, date(2026, 3, 16))
    assert is_overdue(line, date(2026, 3, 17))
    assert days_overdue(line, date(2026, 3, 17)) == 0


def test_a_line_that_nobody_ever_confirmed_is_late_after_weeks_and_an_answer_gives_it_time_again():
    assert is_overdue(make_line(), date(2026, 3, 17))
    assert not is_overdue(make_line(last_heard=date(2026, 3, 3)), date(2026, 3, 17))
    assert not is_overdue(make_line(events=[came(1)]), date(2027, 1, 1))


def test_a_date_that_lies_ahead_is_kept_however_silent_its_supplier_is():
    assert not is_overdue(make_line(said(date(2026, 3, 2), date(2026, 9, 1))), date(2026, 8, 31))


def test_a_range_is_late_only_after_its_last_day():
    line = make_line(said(date(2026, 3, 2), date(2026, 4, 10), earliest=date(2026, 4, 3)))
    assert not is_overdue(line, date(2026, 4, 10))
    assert is_overdue(line, date(2026, 4, 11))


def test_on_the_promised_day_a_line_is_not_yet_overdue():
    assert days_overdue(make_line(FIRST), date(2026, 4, 10)) == 0
    assert days_overdue(make_line(FIRST), date(2026, 4, 11)) == 1


def test_slip_runs_from_the_first_promise_to_the_present_one():
    assert slip_days([FIRST, SECOND, THIRD]) == 34


def test_a_promise_brought_forward_slips_backwards():
    assert slip_days([FIRST, said(date(2026, 3, 9), date(2026, 4, 3))]) == -7


def test_days_behind_the_first_promise_stop_at_arrival():
    waiting, arrived = make_line(FIRST, SECOND), make_line(FIRST, SECOND, events=[came(1, date(2026, 5, 1))])
    assert days_behind_first_promise(waiting, date(2026, 5, 11)) == 31
    assert days_behind_first_promise(arrived, date(2026, 5, 11)) == 21


def test_a_part_delivery_leaves_the_rest_overdue():
    line = make_line(FIRST, quantity=8, events=[came(5)])
    assert to_come(line) == 3
    assert is_overdue(line, date(2026, 5, 2))
    assert arrived_on(line) is None


def test_a_faulty_piece_sent_back_for_replacement_is_to_come_again():
    line = make_line(FIRST, events=[came(1), event(LineEventKind.RETURNED_FOR_REPLACEMENT, 1)])
    assert to_come(line) == 1
    assert here(line) == 0
    assert is_overdue(line, date(2026, 5, 4))


def test_a_piece_sent_back_for_money_is_not_to_come():
    line = make_line(FIRST, events=[came(1), event(LineEventKind.RETURNED_FOR_MONEY, 1)])
    assert (to_come(line), here(line)) == (0, 0)


def test_a_cancelled_line_is_never_overdue():
    line = make_line(FIRST, quantity=8, events=[came(5), event(LineEventKind.CANCELLED, 3)])
    assert to_come(line) == 0
    assert not is_overdue(line, date(2027, 1, 1))
    assert arrived_on(line) == date(2026, 5, 1)


def test_silence_counts_from_the_last_word_of_any_kind():
    assert silent_days(make_line(), date(2026, 3, 12)) == 10
    assert silent_days(make_line(FIRST, SECOND), date(2026, 4, 18)) == 10
    assert silent_days(make_line(FIRST, last_heard=date(2026, 4, 17)), date(2026, 4, 18)) == 1


@pytest.mark.parametrize(
    ("promised", "today", "late"),
    [
        (date(2028, 2, 28), date(2028, 2, 29), 1),
        (date(2028, 2, 28), date(2028, 3, 1), 2),
        (date(2028, 2, 29), date(2028, 2, 29), 0),
        (date(2028, 2, 29), date(2028, 3, 1), 1),
        (date(2027, 2, 28), date(2027, 3, 1), 1),
        (date(2100, 2, 28), date(2100, 3, 1), 1),
        (date(2026, 12, 31), date(2026, 12, 31), 0),
        (date(2026, 12, 31), date(2027, 1, 1), 1),
        (date(2026, 12, 24), date(2027, 1, 4), 11),
    ],
)
def test_leap_days_and_year_ends_count_as_the_calendar_does(promised, today, late):
    assert days_overdue(make_line(said(date(2026, 3, 2), promised)), today) == late


# Both clock changes of 2026 (2027 for the south, whose summer spans the year end), from the IANA time zone database.
CLOCK_CHANGES = [
    ("Europe/Berlin", date(2026, 3, 29)),
    ("Europe/Berlin", date(2026, 10, 25)),
    ("Europe/London", date(2026, 3, 29)),
    ("Europe/London", date(2026, 10, 25)),
    ("America/New_York", date(2026, 3, 8)),
    ("America/New_York", date(2026, 11, 1)),
    ("America/Santiago", date(2026, 4, 4)),
    ("America/Santiago", date(2026, 9, 6)),
    ("Australia/Lord_Howe", date(2026, 4, 5)),
    ("Australia/Lord_Howe", date(2026, 10, 4)),
    ("Pacific/Auckland", date(2026, 4, 5)),
    ("Pacific/Auckland", date(2026, 9, 27)),
]


@pytest.mark.parametrize(("zone", "change"), CLOCK_CHANGES)
def test_overdue_turns_at_local_midnight_at_every_hour_across_a_clock_change(zone, change):
    line = make_line(said(date(2026, 3, 2), change))
    start = datetime.combine(change - timedelta(days=2), datetime.min.time(), UTC)
    instants = [start + timedelta(hours=hour) for hour in range(24 * 5)]
    local = [instant.astimezone(ZoneInfo(zone)) for instant in instants]
    assert len({moment.utcoffset() for moment in local}) == 2, "the clock does change in these days"
    late = [days_overdue(line, moment.date()) for moment in local]
    assert late == [max(0, moment.toordinal() - change.toordinal()) for moment in local]
    assert late == sorted(late), "a repeated hour takes no day back"
    hours_of_the_first_late_day = late.count(1)
    assert hours_of_the_first_late_day in (23, 24, 25)


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Pacific/Pago_Pago"])
def test_one_instant_is_late_here_and_in_time_there(zone):
    instant = datetime(2026, 4, 11, 5, 0, tzinfo=UTC)
    today = instant.astimezone(ZoneInfo(zone)).date()
    assert is_overdue(make_line(FIRST), today) == (zone == "Pacific/Kiritimati")


happenings = st.sampled_from(list(LineEventKind))
days = st.dates(date(2026, 1, 1), date(2027, 12, 31))


@given(st.lists(st.tuples(days, days), max_size=6), days)
def test_a_line_is_overdue_exactly_when_today_is_past_what_is_expected(dates, today):
    line = make_line(*(said(given_on, by) for given_on, by in dates))
    expected = expected_on(line.promises)
    silent = silent_days(line, today) > SILENT_TOO_LONG
    assert is_overdue(line, today) == (silent if expected is None else today > expected)


@given(st.integers(1, 9), st.lists(st.tuples(happenings, st.integers(1, 9)), max_size=6))
def test_what_is_to_come_is_never_negative(quantity, happened):
    line = make_line(FIRST, quantity=quantity, events=[event(kind, n) for kind, n in happened])
    assert to_come(line) >= 0
