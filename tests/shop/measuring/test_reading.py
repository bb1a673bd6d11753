"""Pages of a reading."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.urls import reverse

from specs.models import Dimension, Measurement
from tests.factories.measuring import make_dimension, make_reading, make_specimen
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


MARK = "once-token-for-a-test-0001"


def post(client, dimension, **changes):
    sent = {
        "once": MARK,
        "value": "88.9",
        "value-unit": "mm",
        "tolerance": "0.05",
        "tolerance-unit": "mm",
        "instrument": "depth gauge",
        "measured_on": "2026-03-02",
        "specimen": "",
        "note": "",
        **changes,
    }
    return client.post(reverse("measuring:reading-new", args=[dimension.pk]), sent)


@pytest.mark.parametrize(
    ("typed", "kept"), [("12.4 ± 0.05", ("12.4 mm", "0.05 mm")), ("12.4 mm ± 2 thou", ("12.4 mm", "2 thou"))]
)
def test_a_tolerance_may_be_typed_behind_the_reading(fitter, typed, kept):
    assert post(fitter, make_dimension(), value=typed, tolerance="").status_code == 302
    reading = Measurement.objects.get()
    assert (reading.typed, reading.tolerance_typed) == kept


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"tolerance": ""}, "Say how far off the reading may be"),
        ({"value": "12.4 ± 0.1", "tolerance": "0.05"}, "give it once"),
        ({"value": "12 7/16"}, "looks like inches"),
    ],
)
def test_a_reading_without_its_tolerance_or_with_two_is_asked_about(fitter, changes, words):
    assert words in collapsed(post(fitter, make_dimension(), **changes))
    assert not Measurement.objects.exists()


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("3.5 in", "3.5 in"), ("3 1/2 in", "3 1/2 in"), ("88,9", "88,9 mm"), ("88.9", "88.9 mm"), ('3.5"', '3.5"')],
)
def test_a_reading_is_kept_as_typed_with_its_unit(fitter, typed, kept):
    dimension = make_dimension()
    assert post(fitter, dimension, value=typed).status_code == 302
    reading = Measurement.objects.get()
    assert reading.value == pytest.approx(0.0889)
    assert reading.typed == kept
    assert reading.tolerance_typed == "0.05 mm"
    assert reading.person.username == "fitter"
    assert reading.history.get().history_user.username == "fitter"


def test_the_dimensions_page_shows_both_and_the_working_value(fitter):
    dimension = make_dimension()
    make_reading(dimension=dimension, mm=88.8, measured_on=date(2026, 1, 5))
    post(fitter, dimension)
    page = collapsed(fitter.get(dimension.get_absolute_url()))
    assert "88.8 mm ± 0.05 mm" in page
    assert "88.9 mm ± 0.05 mm" in page
    assert "Most recent reading, depth gauge" in page


@pytest.mark.parametrize(
    ("typed", "words"),
    [("3.5 kg", "is a mass, but a length is needed here"), ("1,250", "can be read two ways"), ("", "required")],
)
def test_what_is_no_length_is_refused_beside_the_field_and_kept(fitter, typed, words):
    dimension = make_dimension()
    response = post(fitter, dimension, value=typed)
    page = collapsed(response)
    assert response.status_code == 200
    assert words in page
    assert 'href="#id_value"' in page
    assert f'value="{typed}"' in page or not typed
    assert 'value="depth gauge"' in page
    assert not Measurement.objects.exists()


def test_a_reading_25_times_off_is_asked_about_and_nothing_is_lost(fitter):
    dimension = make_dimension()
    make_reading(dimension=dimension, mm=88.9)
    page = collapsed(post(fitter, dimension, value="3.5", note="taken cold"))
    assert "about 1/25.4 of what is on record (88.9 mm): was it read in inches?" in page
    assert "type 3.5 in" in page
    assert 'type="checkbox" name="confirmed"' in page
    assert "taken cold" in page
    assert Measurement.objects.count() == 1


def test_a_reading_asked_about_is_kept_when_the_person_is_sure(fitter):
    dimension = make_dimension()
    make_reading(dimension=dimension, mm=88.9)
    assert post(fitter, dimension, value="3.5", confirmed="on").status_code == 302
    reading = Measurement.objects.latest("pk")
    assert reading.value == pytest.approx(0.0035)
    assert reading.confirmed.startswith("This is about 1/25.4 of")


def test_a_confirmation_sent_without_a_question_is_not_recorded(fitter):
    dimension = make_dimension()
    post(fitter, dimension, confirmed="on")
    assert Measurement.objects.get().confirmed == ""


def test_only_lengths_are_suspected(fitter):
    dimension = make_dimension(kind="mass")
    make_reading(dimension=dimension, value=25.4, tolerance=0.1, typed="25.4 kg")
    sent = {"value": "1", "value-unit": "kg", "tolerance": "0.1", "tolerance-unit": "kg"}
    page = collapsed(post(fitter, dimension, **sent))
    assert "This contradicts 25.4 kg" in page
    assert "about 1/25.4 of" not in page


def test_a_negative_tolerance_and_a_day_to_come_are_refused(fitter):
    page = collapsed(post(fitter, make_dimension(), tolerance="-0.1", measured_on="2126-01-01"))
    assert "0 or more" in page
    assert "still to come" in page


def test_a_double_press_writes_once(fitter):
    dimension = make_dimension()
    assert post(fitter, dimension).url == post(fitter, dimension).url
    assert Measurement.objects.count() == 1


def test_the_specimen_must_be_of_this_component(fitter):
    stranger = make_specimen()
    dimension = make_dimension()
    own = make_specimen(component=dimension.component)
    assert post(fitter, dimension, specimen=stranger.pk).status_code == 200
    assert post(fitter, dimension, specimen=own.pk).status_code == 302
    assert Measurement.objects.get().specimen == own


def test_the_instrument_last_used_comes_filled_in(fitter):
    dimension = make_dimension()
    post(fitter, dimension, instrument="caliper no. 3")
    assert 'value="caliper no. 3"' in collapsed(fitter.get(reverse("measuring:reading-new", args=[dimension.pk])))


def test_someone_who_reads_inches_types_inches(fitter, people):
    from shop.people.models import Preferences

    Preferences.objects.create(user=people["fitter"], units="inch")
    dimension = make_dimension()
    sent = {"value": "3.5", "value-unit": "in", "tolerance": "0.002", "tolerance-unit": "in"}
    post(fitter, dimension, **sent)
    reading = Measurement.objects.get()
    assert reading.value == pytest.approx(0.0889)
    assert reading.typed == "3.5 in"
    assert "3.5000 in" in collapsed(fitter.get(dimension.get_absolute_url()))


def test_a_buyer_may_read_but_not_measure(buyer):
    dimension = make_dimension()
    assert buyer.get(dimension.get_absolute_url()).status_code == 200
    assert post(buyer, dimension).status_code == 403
    assert not Measurement.objects.exists()


def choose(client, dimension, **changes):
    sent = {"version": dimension.version, "chosen": "", "reason": "on the surface plate", **changes}
    return client.post(reverse("measuring:reading-choose", args=[dimension.pk]), sent)


def test_the_most_recent_reading_is_an_option_of_its_own_and_ticked_where_nobody_chose(fitter):
    dimension = make_dimension()
    make_reading(dimension=dimension)
    page = collapsed(fitter.get(reverse("measuring:reading-choose", args=[dimension.pk])))
    assert "the most recent one" in page
    assert re.search(r'<input type="radio" name="chosen" value=""[^>]* checked', page)


def test_a_person_lets_another_reading_count_with_a_reason(fitter):
    dimension = make_dimension()
    first = make_reading(dimension=dimension, mm=88.9, measured_on=date(2026, 1, 5))
    make_reading(dimension=dimension, mm=88.95)
    assert choose(fitter, dimension, chosen=first.pk).status_code == 302
    dimension.refresh_from_db()
    assert (dimension.chosen, dimension.chosen_reason) == (first, "on the surface plate")
    kept = dimension.history.first()
    assert (kept.history_user.username, kept.history_change_reason) == ("fitter", "on the surface plate")
    assert "Chosen because: on the surface plate" in collapsed(fitter.get(dimension.get_absolute_url()))


def test_a_choice_without_a_reason_is_refused(fitter):
    dimension = make_dimension()
    reading = make_reading(dimension=dimension)
    assert choose(fitter, dimension, chosen=reading.pk, reason=" ").status_code == 200
    assert Dimension.objects.get().chosen is None


def test_going_back_to_the_most_recent_reading_needs_a_reason_too(fitter):
    dimension = make_dimension()
    reading = make_reading(dimension=dimension)
    choose(fitter, dimension, chosen=reading.pk)
    dimension.refresh_from_db()
    assert choose(fitter, dimension, reason="gauge was repaired").status_code == 302
    dimension.refresh_from_db()
    assert (dimension.chosen, dimension.chosen_reason) == (None, "")


def test_a_stale_choice_shows_both(fitter):
    dimension = make_dimension()
    first = make_reading(dimension=dimension, mm=88.9, measured_on=date(2026, 1, 5))
    second = make_reading(dimension=dimension, mm=88.95)
    choose(fitter, dimension, chosen=second.pk)
    response = choose(fitter, dimension, chosen=first.pk)
    assert response.status_code == 200
    assert "saved this" in collapsed(response)
    assert Dimension.objects.get().chosen == second


def delete_with_reason(client, reading, **changes):
    sent = {"reason": "caliper jaw was bent", **changes}
    return press(client, reverse("measuring:reading-delete", args=[reading.pk]), **sent)


def test_a_deleted_reading_stays_readable_with_its_reason(fitter):
    dimension = make_dimension()
    old = make_reading(dimension=dimension, mm=88.9, measured_on=date(2026, 1, 5))
    wrong = make_reading(dimension=dimension, mm=98.9)
    assert delete_with_reason(fitter, wrong).status_code == 302
    page = collapsed(fitter.get(dimension.get_absolute_url()))
    assert "<s>98.9 mm" in page
    assert "caliper jaw was bent" in page
    assert "<b>88.90 mm</b>" in page
    assert Measurement.objects.count() == 2
    assert old.pk


def test_deleting_needs_a_reason(fitter):
    reading = make_reading()
    assert delete_with_reason(fitter, reading, reason="").status_code == 200
    assert Measurement.objects.active().count() == 1


def test_a_chosen_reading_that_is_deleted_is_chosen_no_more(fitter):
    dimension = make_dimension()
    reading = make_reading(dimension=dimension)
    choose(fitter, dimension, chosen=reading.pk)
    delete_with_reason(fitter, reading)
    assert Dimension.objects.get().chosen is None


def test_a_second_deletion_is_told_who_came_first(fitter, machinist):
    reading = make_reading()
    late = press(machinist, reverse("measuring:reading-delete", args=[reading.pk]), reason="")
    delete_with_reason(fitter, reading)
    once = re.search(r'name="once" value="([^"]+)"', collapsed(late))[1]
    address = reverse("measuring:reading-delete", args=[reading.pk])
    page = collapsed(machinist.post(address, {"once": once, "reason": "it slipped"}))
    assert "deleted this on" in page
    assert "it slipped</textarea>" in page
    assert Measurement.objects.get().deleted_reason == "caliper jaw was bent"


@pytest.mark.parametrize(
    "name",
    [
        "measuring:dimension",
        "measuring:reading-new",
        "measuring:reading-choose",
        "measuring:reading-delete",
        "measuring:dimension-edit",
    ],
)
@pytest.mark.parametrize("pk", [999_999, 10**30])
def test_an_unknown_number_is_a_plain_404(fitter, name, pk):
    assert fitter.get(reverse(name, args=[pk])).status_code == 404
