"""Pages of a hours."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.base.roles import person_name
from shop.base.written import comma_moment
from shop.jobs.models import Step, TimeEntry
from tests.factories.jobs import make_step, make_time_entry
from tests.pages import collapsed, once, press

pytestmark = pytest.mark.django_db


def test_thirty_hours_in_a_day_are_refused_beside_the_field_and_kept(fitter, people):
    step = make_step()
    form = {"worker": people["fitter"].pk, "day": "2026-03-02", "hours": "30", "reason": "long day"}
    page = fitter.post(f"/jobs/steps/{step.pk}/hours/new/", form | {"once": "a-mark-that-a-form-was-given-0001"})
    words = collapsed(page)
    assert '<p class="error" id="id_hours_error"><span>A day has 24 hours; 30 were given.</span>' in words
    assert 'value="30"' in words
    assert not TimeEntry.objects.exists()


@pytest.mark.parametrize(
    ("typed", "hours"), [("1.5", "1.50"), ("1,5", "1.50"), ("1:30", "1.50"), ("0:05", "0.08"), ("8", "8.00")]
)
def test_hours_are_read_as_people_write_them(fitter, people, typed, hours):
    form = {"worker": people["fitter"].pk, "day": "2026-03-02", "hours": typed, "reason": "tap forgotten"}
    fitter.post(f"/jobs/steps/{make_step().pk}/hours/new/", form | {"once": "a-mark-that-a-form-was-given-0001"})
    assert str(TimeEntry.objects.get().hours) == hours


@pytest.mark.parametrize("typed", ["", "1:75", "1:3", "one", "1:", "-2", "NaN", "1e9", "1:30:00"])
def test_other_hours_are_refused(fitter, people, typed):
    form = {"worker": people["fitter"].pk, "day": "2026-03-02", "hours": typed, "reason": "tap forgotten"}
    url = f"/jobs/steps/{make_step().pk}/hours/new/"
    page = collapsed(fitter.post(url, form | {"once": "a-mark-that-a-form-was-given-0001"}))
    assert 'id="id_hours_error"' in page
    assert not TimeEntry.objects.exists()


def test_hours_are_corrected_with_a_reason_and_both_entries_stay(fitter, people):
    time_entry = make_time_entry(person=people["fitter"], hours=Decimal("4"))
    address = f"/jobs/hours/{time_entry.pk}/correct/"
    asked = collapsed(fitter.get(address))
    assert 'value="4"' in asked
    assert f"{person_name(people['fitter'])}, 4 h on" in asked
    assert str(time_entry.step) in asked
    mark = {"once": "a-mark-that-a-form-was-given-0001"}
    page = collapsed(fitter.post(address, {"hours": "3", "reason": ""} | mark))
    assert 'id="id_reason_error"' in page
    assert 'value="3"' in page
    page = collapsed(fitter.post(address, {"hours": "2:30", "reason": "called away"} | mark, follow=True))
    assert "corrected from 4 h: called away" in page
    assert sorted(str(one.hours) for one in TimeEntry.objects.all()) == ["2.50", "4.00"]


def test_hours_corrected_to_nothing_are_struck_out(fitter, people):
    time_entry = make_time_entry(person=people["fitter"], hours=Decimal("4"))
    form = {"hours": "0", "reason": "wrong vehicle", "once": "a-mark-that-a-form-was-given-0001"}
    fitter.post(f"/jobs/hours/{time_entry.pk}/correct/", form)
    assert Step.objects.with_hours().get().hours_logged == 0


def test_anothers_hours_are_offered_for_correction_to_the_owner_alone(fitter, owner, people):
    time_entry = make_time_entry(person=people["machinist"], hours=Decimal("4"))
    address = f"/jobs/hours/{time_entry.pk}/correct/"
    assert address not in collapsed(fitter.get(time_entry.step.get_absolute_url()))
    assert address in collapsed(owner.get(time_entry.step.get_absolute_url()))
    assert fitter.get(address).status_code == 403


def test_a_fitter_cannot_log_for_another(fitter, people):
    form = {"worker": people["machinist"].pk, "day": "2026-03-02", "hours": "2", "reason": "he forgot"}
    url = f"/jobs/steps/{make_step().pk}/hours/new/"
    page = collapsed(fitter.post(url, form | {"once": "a-mark-that-a-form-was-given-0001"}))
    assert 'id="id_worker_error"' in page
    assert not TimeEntry.objects.exists()


def tap(client, step, what):
    return collapsed(client.post(f"/jobs/steps/{step.pk}/{what}/", follow=True))


def test_a_forgotten_clock_asks_for_the_hours_and_takes_them(fitter, people):
    step = make_step()
    yesterday = timezone.now() - timedelta(hours=23)
    make_time_entry(step=step, person=people["fitter"], day=yesterday.date(), started_at=yesterday, hours=None)
    page = tap(fitter, step, "pause")
    assert "running for 23.0 hours" in page
    assert "Hours really worked" in page
    time_entry = TimeEntry.objects.get()
    assert f"has been running since {comma_moment(yesterday)}" in page
    answer = {"hours": "7:30", "reason": "forgot", "once": "a-mark-that-a-form-was-given-0001"}
    fitter.post(f"/jobs/hours/{time_entry.pk}/stop/", answer)
    time_entry.refresh_from_db()
    assert (time_entry.hours, time_entry.reason) == (7.5, "forgot")


def test_anothers_forgotten_clock_is_named_to_whom_may_not_stop_it(fitter, owner, people):
    step, yesterday = make_step(), timezone.now() - timedelta(hours=23)
    time_entry = make_time_entry(
        step=step, person=people["machinist"], day=yesterday.date(), started_at=yesterday, hours=None
    )
    page = tap(fitter, step, "finish")
    assert "running for 23.0 hours" in page
    assert f"the clock of {person_name(people['machinist'])}, who must stop it first, or the owner" in page
    assert fitter.get(f"/jobs/hours/{time_entry.pk}/stop/").status_code == 403
    assert "Hours really worked" in tap(owner, step, "finish")


@pytest.mark.parametrize(("field", "typed"), [("hours", "many"), ("hours", ""), ("reason", " ")])
def test_a_clock_is_not_stopped_without_hours_and_a_reason(fitter, people, field, typed):
    yesterday = timezone.now() - timedelta(hours=23)
    time_entry = make_time_entry(person=people["fitter"], day=yesterday.date(), started_at=yesterday, hours=None)
    answers = {"hours": "7:30", "reason": "forgot", field: typed}
    page = collapsed(press(fitter, f"/jobs/hours/{time_entry.pk}/stop/", **answers))
    assert f'id="id_{field}_error"' in page
    time_entry.refresh_from_db()
    assert time_entry.is_running


def test_hours_for_a_clock_that_was_stopped_meanwhile_are_refused_and_kept(fitter, people):
    step, yesterday = make_step(), timezone.now() - timedelta(hours=23)
    time_entry = make_time_entry(
        step=step, person=people["fitter"], day=yesterday.date(), started_at=yesterday, hours=None
    )
    answer = {"hours": "7:30", "reason": "forgot"}
    address = f"/jobs/hours/{time_entry.pk}/stop/"
    assert press(fitter, address, **answer).status_code == 302
    fitter.post(f"/jobs/steps/{step.pk}/start/")
    late = collapsed(fitter.post(address, {**answer, "hours": "2", **once()}))
    assert "The clock is stopped already, with 7 h 30 min: nothing was changed." in late
    assert 'value="2"' in late
    assert TimeEntry.objects.running().count() == 1, "the clock that runs now is another one"
    assert "The clock is stopped already" in collapsed(fitter.get(address, follow=True))
