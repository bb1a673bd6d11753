"""The calendar behind a secret link, read back by a reader of our own, not by the library that wrote it."""

from datetime import date, timedelta

import pytest
from django.test import Client
from django.utils import timezone
from icalendar import Calendar

from shop.orders.models import OrderLine, Promise
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


def test_an_overdue_part_stands_on_today_and_its_stamp_is_of_the_day_it_was_moved(people, line):
    """RFC 5545, 3.8.7.2: without METHOD, DTSTAMP is the moment at which the information was last revised."""
    address = subscribe(people["buyer"])
    (ahead,) = events(fetch(address).content.decode())
    again = events(fetch(address).content.decode())
    assert again == [ahead], "asked twice, nothing is stamped anew"
    Promise.objects.create(
        line=line, given_on=in_days(-9), earliest=in_days(-3), latest=in_days(-3), recorded_by=people["buyer"]
    )
    (late,) = events(fetch(address).content.decode())
    assert late["UID"] == ahead["UID"]
    assert late["DTSTART;VALUE=DATE"] == f"{in_days(0):%Y%m%d}"
    assert late["SUMMARY"].startswith("Overdue: shaft, splined")
    assert late["DTSTAMP"] >= ahead["DTSTAMP"]


def test_an_event_leads_to_its_order_and_a_chase_names_the_part(people, line, settings):
    make_chase(order=line.order, ask_again_on=in_days(-2))
    arrival, chase = events(fetch(subscribe(people["buyer"])).content.decode())
    assert arrival["URL"] == f"http://testserver{line.get_absolute_url()}"
    assert "shaft, splined" in chase["SUMMARY"]
    assert chase["DTSTART;VALUE=DATE"] == f"{in_days(0):%Y%m%d}"
    settings.SHOP_ADDRESS = "https://shop.example"
    assert events(fetch(subscribe(people["buyer"])).content.decode())[0]["URL"].startswith("https://shop.example/")


def test_what_an_insolvent_supplier_promised_is_not_in_the_calendar_as_expected(people, line):
    line.order.supplier.insolvent_on = in_days(-1)
    line.order.supplier.save()
    assert events(fetch(subscribe(people["buyer"])).content.decode()) == []


def test_a_new_date_for_all_that_is_to_come_settles_the_asking(people, line):
    make_chase(order=line.order, ask_again_on=in_days(1))
    line.promises.create(
        given_on=in_days(0), earliest=in_days(9), latest=in_days(9), words="", recorded_by=people["buyer"]
    )
    uids = [event["UID"] for event in events(fetch(subscribe(people["buyer"])).content.decode())]
    assert not any(uid.startswith("chase-") for uid in uids)


def test_each_person_sees_their_own_and_the_owner_all(people, line):
    assert events(fetch(subscribe(people["fitter"])).content.decode()) == []
    assert len(events(fetch(subscribe(people["owner"])).content.decode())) == 1


def test_only_the_last_chase_of_an_order_asks(people, line):
    make_chase(order=line.order, ask_again_on=in_days(3))
    make_chase(order=line.order, ask_again_on=in_days(9))
    uids = [event["UID"] for event in events(fetch(subscribe(people["buyer"])).content.decode())]
    assert sum(uid.startswith("chase-") for uid in uids) == 1


def test_a_day_to_ask_again_that_is_moved_keeps_its_name_and_is_stamped_anew(people, line):
    address = subscribe(people["buyer"])
    make_chase(order=line.order, ask_again_on=in_days(3))
    _, before = events(fetch(address).content.decode())
    make_chase(order=line.order, ask_again_on=in_days(9))
    _, after = events(fetch(address).content.decode())
    assert after["UID"] == before["UID"]
    assert after["DTSTART;VALUE=DATE"] == f"{in_days(9):%Y%m%d}"
    assert after["DTSTAMP"] >= before["DTSTAMP"]


def test_a_part_that_is_named_otherwise_is_stamped_when_it_was_renamed(people, line):
    """Its summary is part of the information that DTSTAMP dates (RFC 5545, 3.8.7.2)."""
    Promise.history.update(history_date=timezone.now() - timedelta(days=5))
    line.text = "shaft of 27 teeth"
    line.save()
    OrderLine.history.filter(history_type="+").update(history_date=timezone.now() - timedelta(days=5))
    (event,) = events(fetch(subscribe(people["buyer"])).content.decode())
    assert "27 teeth" in event["SUMMARY"]
    assert event["DTSTAMP"][:8] == f"{timezone.now():%Y%m%d}"


def test_the_library_of_the_standard_finds_nothing_wrong_in_it(people, line):
    """RFC 5545, 3.6.1, as icalendar reads it: one UID and DTSTAMP an event, each name once, no errors."""
    make_chase(order=line.order, ask_again_on=in_days(3))
    read = Calendar.from_ical(fetch(subscribe(people["buyer"])).content)
    found = read.events
    assert len({str(event["UID"]) for event in found}) == len(found) == 2
    for event in found:
        assert event.errors == []
        assert event.start < event.end
        assert event["DTSTAMP"].dt.tzinfo is not None
        assert str(event["URL"]).startswith("http://testserver/orders/")


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
    assert "Make calendar address" in buyer.get("/planning/notices/").content.decode()
