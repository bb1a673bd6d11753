"""The calendar behind a secret link, read back by a reader of our own, not by the library that wrote it."""

from datetime import date, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from shop.planning.links import make_link, revoke_link
from shop.planning.models import CalendarLink
from tests.factories.orders import make_chase, make_line, make_order
from tests.factories.people import make_person

pytestmark = pytest.mark.django_db


def events(text):
    """The events of a calendar as mappings, by the grammar of RFC 5545, 3.1: folded lines, name;parameters:value."""
    assert "\n" not in text.replace("\r\n", ""), "lines end in CRLF"
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n")), "lines are folded at 75 octets"
    found, current = [], None
    for line in text.replace("\r\n ", "").split("\r\n"):
        name, _, value = line.partition(":")
        if line == "BEGIN:VEVENT":
            current = {}
        elif line == "END:VEVENT":
            found.append(current)
            current = None
        elif current is not None:
            current[name] = value.replace("\\,", ",").replace("\\;", ";").replace("\\n", "\n").replace("\\\\", "\\")
    return found


def subscribe(person):
    return f"/planning/calendar/{make_link(person=person, now=timezone.now())}.ics"


def fetch(address):
    return Client().get(address)


def in_days(days):
    return timezone.localdate() + timedelta(days=days)


@pytest.fixture
def line(people):
    order = make_order(ordered_by=people["buyer"], ordered_on=in_days(-30))
    return make_line(order=order, text="shaft, splined; 26 teeth – " + "long " * 20, promised=date(2026, 12, 31))


def test_expected_days_and_days_to_ask_are_whole_days(people, line):
    make_chase(order=line.order, ask_again_on=date(2028, 2, 29), answer="next, week; yes", answered_on=in_days(0))
    response = fetch(subscribe(people["buyer"]))
    assert response["Content-Type"].startswith("text/calendar")
    arrival, chase = events(response.content.decode())
    assert arrival["DTSTART;VALUE=DATE"] == "20261231"
    assert arrival["DTEND;VALUE=DATE"] == "20270101"
    assert "shaft, splined; 26 teeth" in arrival["SUMMARY"]
    assert chase["DTSTART;VALUE=DATE"] == "20280229"
    assert chase["DESCRIPTION"] == "next, week; yes"


@pytest.mark.parametrize("zone", ["Pacific/Kiritimati", "Europe/Berlin", "America/New_York", "Pacific/Pago_Pago"])
def test_no_time_zone_shifts_a_day(people, line, settings, zone):
    settings.TIME_ZONE = zone
    with timezone.override(zone):
        (arrival,) = events(fetch(subscribe(people["buyer"])).content.decode())
    assert arrival["DTSTART;VALUE=DATE"] == "20261231"


def test_an_events_name_stays_while_its_day_moves(people, line):
    from tests.factories.orders import make_promise

    address = subscribe(people["buyer"])
    (before,) = events(fetch(address).content.decode())
    make_promise(line=line, latest=date(2027, 2, 1), given_on=in_days(-1))
    (after,) = events(fetch(address).content.decode())
    assert before["UID"] == after["UID"]
    assert after["DTSTART;VALUE=DATE"] == "20270201"


def test_each_person_sees_their_own_and_the_owner_all(people, line):
    assert events(fetch(subscribe(people["fitter"])).content.decode()) == []
    assert len(events(fetch(subscribe(people["owner"])).content.decode())) == 1


def test_only_the_last_chase_of_an_order_asks(people, line):
    make_chase(order=line.order, ask_again_on=in_days(3))
    make_chase(order=line.order, ask_again_on=in_days(9))
    uids = [event["UID"] for event in events(fetch(subscribe(people["buyer"])).content.decode())]
    assert sum(uid.startswith("chase-") for uid in uids) == 1


def test_a_revoked_or_wrong_address_answers_nothing(people, line):
    address = subscribe(people["buyer"])
    assert fetch(address).status_code == 200
    revoke_link(person=people["buyer"], now=timezone.now())
    assert fetch(address).status_code == 404
    assert fetch("/planning/calendar/guessed.ics").status_code == 404


def test_a_new_address_revokes_the_one_before(people):
    first, second = subscribe(people["buyer"]), subscribe(people["buyer"])
    assert fetch(first).status_code == 404
    assert fetch(second).status_code == 200


def test_the_secret_is_not_kept(people):
    secret = make_link(person=people["buyer"], now=timezone.now())
    kept = CalendarLink.objects.get(person=people["buyer"])
    assert secret not in str(vars(kept))


def test_somebody_who_left_has_no_calendar():
    person = make_person(roles=["buyer"])
    address = subscribe(person)
    person.is_active = False
    person.save()
    assert fetch(address).status_code == 404


def test_the_page_shows_the_address_once(buyer):
    page = buyer.post("/planning/notices/link/").content.decode()
    assert "/planning/calendar/" in page
    assert "/planning/calendar/" not in buyer.get("/planning/notices/").content.decode()
    buyer.post("/planning/notices/link/revoke/")
    assert "New address" in buyer.get("/planning/notices/").content.decode()
