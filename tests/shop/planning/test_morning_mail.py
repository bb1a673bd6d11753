"""The morning's mail: each person's own, once a day over clock changes, and not to who does not want it."""

from datetime import UTC, date, datetime, timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from shop.orders.models import Mail
from shop.planning.changes import want_morning_mail
from shop.planning.morning_mail import digest_of, write_morning_mail
from tests.factories.jobs import make_decision, make_part_need, make_step, make_step_need
from tests.factories.orders import make_chase, make_line, make_mail, make_order
from tests.pages import collapsed
from tests.shop.orders.test_rules import CLOCK_CHANGES

pytestmark = pytest.mark.django_db


def day(offset):
    return timezone.localdate() + timedelta(days=offset)


@pytest.fixture
def late(people):
    order = make_order(ordered_by=people["buyer"], ordered_on=day(-60))
    make_chase(order=order, on=day(-9), ask_again_on=day(-1), answer="soon", answered_on=day(-9))
    return make_line(order=order, text="clutch kit", promised=day(-10))


def give_address(*persons):
    for person in persons:
        person.email = f"{person.username}@shop.example"
        person.save()


def test_the_buyer_reads_what_is_late_and_whom_to_ask(people, late):
    digest = digest_of(people["buyer"], day(0))
    assert digest.subject == "1 late line, 1 to ask"
    assert "clutch kit, promised" in digest.body
    assert "10 days overdue" in digest.body
    assert "they said “soon”" in digest.body


def test_the_morning_names_a_line_whose_supplier_never_named_a_day_and_is_silent(people):
    make_line(order=make_order(ordered_by=people["buyer"], ordered_on=day(-40)), text="release fork")
    assert "release fork, no date given, silent for 40 days: late" in digest_of(people["buyer"], day(0)).body


def test_the_buyer_reads_what_was_never_dated_and_which_letter_was_refused(people, late, settings):
    settings.SHOP_ADDRESS = "https://shop.example"
    make_line(order=make_order(ordered_by=people["buyer"], ordered_on=day(-6)), text="release fork")
    chase = late.order.chases.get()
    make_mail(state=Mail.REFUSED, chase=chase, written_by=people["buyer"], trouble="550 no such user", to="a@x.example")
    make_mail(state=Mail.REFUSED, chase=chase, written_by=people["fitter"])
    digest = digest_of(people["buyer"], day(0))
    assert digest.subject == "1 letter refused, 1 late line, 1 never dated, 1 to ask"
    assert "to a@x.example" in digest.body
    assert "550 no such user" in digest.body
    assert "https://shop.example/orders/mail/" in digest.body
    assert "release fork, no date given" in digest.body.split("Never confirmed, or never dated")[1]
    assert len(digest_of(people["owner"], day(0)).refused) == 2


def test_the_fitter_reads_what_is_ready_and_no_strangers_lines(people, late):
    make_step(title="Strip the car")
    make_step(title="Turn the spigot", role="machinist")
    digest = digest_of(people["fitter"], day(0))
    assert digest.subject == "1 step ready"
    assert "Strip the car" in digest.body


def test_who_has_nothing_to_read_gets_no_mail(people):
    give_address(*people.values())
    assert write_morning_mail(timezone.now().replace(hour=12)) == 0


def test_only_who_wants_it_and_has_an_address(people, late):
    give_address(people["buyer"], people["owner"])
    want_morning_mail(person=people["owner"], wanted=False)
    write_morning_mail(timezone.now().replace(hour=12))
    assert [mail.to for mail in Mail.objects.all()] == ["buyer@shop.example"]


def test_one_a_day_however_often_it_is_called(people, late, settings):
    give_address(people["buyer"])
    for _ in range(3):
        write_morning_mail(timezone.now().replace(hour=12))
    assert Mail.objects.count() == 1


@pytest.mark.parametrize(("zone", "change"), CLOCK_CHANGES)
def test_one_a_day_when_called_each_hour_across_a_clock_change(people, zone, change):
    give_address(people["fitter"])
    make_step(title="Strip the car")
    start = datetime.combine(change - timedelta(days=1), datetime.min.time(), UTC) - timedelta(hours=14)
    with timezone.override(zone):
        for hour in range(24 * 3):
            write_morning_mail(start + timedelta(hours=hour))
    days = [date.fromisoformat(mail.occasion[-10:]) for mail in Mail.objects.order_by("occasion")]
    assert days == sorted(set(days)), "never two of one day"
    assert {change - timedelta(days=1), change} <= set(days), "and no day left out"


def at_noon():
    return timezone.override(timezone.get_fixed_timezone(60 * (12 - timezone.now().hour)))


def test_the_command_writes_and_sends_at_once(people, late, mailoutbox):
    give_address(people["buyer"])
    with at_noon():
        call_command("morning_mail")
    (message,) = mailoutbox
    assert message.subject == "1 late line, 1 to ask"
    assert message.extra_headers["Auto-Submitted"] == "auto-generated", "RFC 3834, section 5: no person wrote it"


def test_none_is_written_where_no_mail_server_is_named(people, late, settings):
    give_address(people["buyer"])
    settings.PRODUCTION, settings.MAIL_SERVER = True, {**settings.MAIL_SERVER, "host": ""}
    with at_noon():
        call_command("morning_mail")
    assert not Mail.objects.exists()


def test_the_page_turns_it_off_and_on(buyer, people):
    buyer.post("/planning/notices/morning-mail/", {"wanted": "no"})
    assert not people["buyer"].morning.wanted
    assert "You have turned it off." in collapsed(buyer.get("/planning/notices/"))
    buyer.post("/planning/notices/morning-mail/", {"wanted": "yes"})
    people["buyer"].morning.refresh_from_db()
    assert people["buyer"].morning.wanted


def test_each_late_line_says_what_it_holds_up_and_leads_there(people, late, settings):
    settings.SHOP_ADDRESS = "https://shop.example"
    step = make_step(title="Trial fit")
    need = make_part_need(step=step, text="release fork")
    line = make_line(order=late.order, text="release fork", part_need=need, promised=day(-3))
    body = digest_of(people["buyer"], day(0)).body
    assert f"Holds up “Trial fit” of {step.job.vehicle}\n  https://shop.example{line.get_absolute_url()}" in body
    assert "Holds up nothing today" in body
    assert f"https://shop.example{late.order.get_absolute_url()}" in body.split("Ask again 1")[1]


def test_the_fitters_steps_lead_to_their_pages_and_without_an_address_nothing_leads_nowhere(people, settings):
    step = make_step(title="Strip the car")
    assert "http" not in digest_of(people["fitter"], day(0)).body
    settings.SHOP_ADDRESS = "https://shop.example"
    make_step_need(make_step(title="Clean the faces", job=step.job, role="machinist"), step)
    body = digest_of(people["fitter"], day(0)).body
    assert f"Strip the car. Holds up “Clean the faces”.\n  https://shop.example{step.get_absolute_url()}" in body
    assert "on your own page\n  https://shop.example/planning/notices/" in body


def test_the_owner_reads_what_waits_for_a_word_what_fell_and_what_moved(people, settings):
    settings.SHOP_ADDRESS = "https://shop.example"
    drill = make_step(title="Drill the plate")
    make_decision(question="Which side does the plate locate on?", step=drill)
    finished = {"finished_by": people["fitter"], "finished_at": timezone.now()}
    step = make_step(title="Torque the flywheel", job=drill.job, check_again="other bolts came", **finished)
    digest = digest_of(people["owner"], day(0))
    assert digest.subject.startswith("1 to decide, 1 to check again")
    asked = "Which side does the plate locate on? Holds up “Drill the plate”.\n  https://shop.example/jobs/decisions/"
    assert asked in digest.body
    assert "Torque the flywheel: " in digest.body.split("Check again 1")[1]
    assert step.get_absolute_url() in digest.body
    assert "to check again" in digest_of(people["fitter"], day(0)).subject, "the fitter's own"
    assert "to decide" not in digest_of(people["buyer"], day(0)).subject
    assert "to check again" not in digest_of(people["machinist"], day(0)).subject
