"""Chasing by letter or mail: what the draft says, what is kept, and hostile text."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.core import mail as sent_mail
from django.utils import timezone

from shop.orders.letter import LetterLine, answer_by, draft
from shop.orders.models import Chase, Mail, Return
from tests.factories.jobs import make_part_need
from tests.factories.orders import make_delivery, make_line, make_mail, make_order, make_promise, make_supplier
from tests.pages import collapsed, press
from tests.pdfs import text_of
from tests.shop.orders.forms import fault, sent
from tests.shop.orders.test_rules import FIRST, SECOND, THIRD, came
from tests.shop.orders.test_rules import make_line as plain_line


def write(*asked, contact="Odile Marsh", reference="FE-77"):
    return draft(
        number="2026-014",
        reference=reference,
        ordered_on=date(2026, 3, 2),
        contact=contact,
        asked=asked,
        signed="Wren Calloway",
        today=date(2026, 5, 20),
    )


def test_the_draft_says_what_was_promised_and_what_waits():
    letter = write(LetterLine(plain_line(FIRST, SECOND, THIRD), steps_waiting=3))
    assert letter.subject == "Order 2026-014: when will you dispatch the clutch?"
    for words in (
        "Dear Odile Marsh",
        "On 2 March 2026 we ordered the parts below under our number 2026-014 (your reference FE-77).",
        "The clutch was put off twice and is 6 days past the last date that you gave us",
        "a vehicle here waits for it: 3 steps cannot be done.",
        "the clutch | 1 | 10 April 2026 | 14 May 2026 | 6",
        "Please tell us by Friday, 22 May 2026",
        "Kind regards,\n\nWren Calloway",
    ):
        assert words in letter.body


def test_part_of_a_line_is_asked_for_as_part():
    letter = write(LetterLine(plain_line(FIRST, quantity=8, events=[came(5)])))
    assert "the clutch | 3 of 8 |" in letter.body


def test_a_line_without_any_date_says_so():
    written = write(LetterLine(plain_line()), contact="", reference="").body
    assert "the clutch | 1 | no date yet | no date yet" in written
    assert "Dear Sir or Madam," in written


def test_a_stroke_in_a_name_does_not_make_a_cell():
    letter = write(LetterLine(replace(plain_line(), what="bolt | nut\nwasher")))
    assert "bolt / nut washer | 1 |" in letter.body


@pytest.mark.parametrize(
    ("today", "by"),
    [("2026-05-20", "2026-05-22"), ("2026-05-21", "2026-05-25"), ("2026-05-22", "2026-05-26")],
)
def test_an_answer_is_asked_for_two_weekdays_on(today, by):
    assert answer_by(date.fromisoformat(today)) == date.fromisoformat(by)


@pytest.fixture
def line(db):
    supplier = make_supplier(name="Nuvo", email="sales@nuvo.example", contact="Rika")
    order = make_order(ordered_on=timezone.localdate() - timedelta(days=60), supplier=supplier)
    line = make_line(order=order, part_need=make_part_need())
    make_promise(line=line, latest=timezone.localdate() - timedelta(days=5))
    return line


def form(**changes):
    usual = {"way": "mail", "to": "sales@nuvo.example", "subject": "When?", "body": "Please say.", "ask_again_on": ""}
    return sent(**{**usual, **changes})


def test_the_page_holds_the_draft(buyer, line):
    page = collapsed(buyer.get(f"/orders/{line.order_id}/letter/"))
    assert "Dear Rika" in page
    assert "1 step cannot be done" in page
    assert "Ottoline" not in page, "no customer is named to a supplier"


def test_sent_by_mail_it_is_logged_and_goes_out(buyer, people, line):
    again = timezone.localdate() + timedelta(days=7)
    buyer.post(f"/orders/{line.order_id}/letter/", form(ask_again_on=again.isoformat()))
    chase = Chase.objects.get()
    assert (chase.how, chase.ask_again_on, chase.person) == ("mail", again, people["buyer"])
    assert "Please say." in chase.text
    (message,) = sent_mail.outbox
    assert (message.to, message.body) == (["sales@nuvo.example"], "Please say.")
    assert Mail.objects.get().state == Mail.SENT


def test_it_does_not_stand_in_line_behind_what_waits_for_the_timer(buyer, line):
    older = make_mail(subject="older")
    buyer.post(f"/orders/{line.order_id}/letter/", form())
    assert [message.body for message in sent_mail.outbox] == ["Please say."]
    buyer.post(f"/orders/{line.order_id}/letter/", form(way="letter"))
    older.refresh_from_db()
    assert older.state == Mail.WAITING


def test_pressed_twice_it_goes_once(buyer, line):
    once = form()
    for _ in range(2):
        buyer.post(f"/orders/{line.order_id}/letter/", once)
    assert len(sent_mail.outbox) == 1


def test_printed_it_becomes_a_letter(buyer, line):
    response = buyer.post(f"/orders/{line.order_id}/letter/", form(way="letter", to=""), follow=True)
    said = text_of(response.content)
    assert "Please say." in said
    assert "Nuvo" in said
    assert not Mail.objects.exists()


@pytest.mark.parametrize(
    ("about", "words"),
    [
        ("", "nothing to ask for"),
        ("order", "add what you order first"),
        ("confirmation", "there is nothing to confirm"),
        ("wrong-part", "record its return on its line first"),
        ("cancellation", "record the cancellation on its line first"),
        ("return", "record the return on its line first"),
    ],
)
def test_a_letter_about_nothing_is_not_written(buyer, about, words):
    order = make_order()
    address = f"/orders/{order.pk}/letter/?about={about}"
    assert words in collapsed(buyer.get(address, follow=True))
    page = collapsed(buyer.post(address, form(body="We cancel nothing.")))
    assert words in page
    assert "We cancel nothing." in page, "what was typed is kept"
    assert not Chase.objects.exists()


def test_a_return_names_what_went_back_and_why(buyer, people, line):
    today = timezone.localdate()
    make_delivery(line=line, quantity=1, on=today)
    gone = {"line": line, "on": today, "quantity": 1, "recorded_by": people["buyer"], "money_back": 0}
    Return.objects.create(**gone, reason="wrong spline: 23 teeth ordered, 26 came")
    page = collapsed(buyer.get(f"/orders/{line.order_id}/letter/?about=return"))
    assert "wrong spline: 23 teeth ordered, 26 came" in page


def test_without_an_address_it_cannot_be_mailed(buyer, line):
    page = collapsed(buyer.post(f"/orders/{line.order_id}/letter/", form(to="")))
    assert "or print it as a letter" in fault(page, "to")
    assert not Chase.objects.exists()


def test_hostile_text_stays_text(buyer, line):
    nasty = "<script>alert(1)</script>\n.\n\u202e"
    buyer.post(f"/orders/{line.order_id}/letter/", form(body=nasty))
    page = collapsed(buyer.get(f"/orders/{line.order_id}/"))
    assert "<script>alert(1)" not in page
    assert nasty in sent_mail.outbox[0].body


def test_the_outbox_shows_what_is_stuck_and_lets_it_be_sent_again(buyer, line):
    buyer.post(f"/orders/{line.order_id}/letter/", form())
    mail = Mail.objects.get()
    mail.state, mail.trouble = Mail.PERHAPS, "connection lost"
    mail.save()
    assert "perhaps sent" in collapsed(buyer.get("/orders/mail/"))
    assert "connection lost" in collapsed(buyer.get(f"/orders/mail/{mail.pk}/"))
    make_mail(subject="older", try_at=timezone.now() - timedelta(hours=1))
    buyer.post(f"/orders/mail/{mail.pk}/again/")
    mail.refresh_from_db()
    assert mail.state == Mail.SENT


# Quantity, price, and the amount by the rule: the products end on or beside half a cent.
LINES = [("0.15", "0.10", "0.02"), ("1.15", "2.30", "2.65"), ("2.50", "0.67", "1.68"), ("3.00", "90.05", "270.15")]


def test_page_list_and_letter_say_the_same_amounts(buyer):
    order = make_order(tax_percent=Decimal("8.1"))
    for quantity, price, _ in LINES:
        make_line(order=order, quantity=Decimal(quantity), price=Decimal(price))
    page = collapsed(buyer.get(order.get_absolute_url()))
    listed = collapsed(buyer.get("/orders/"))
    letter = collapsed(buyer.get(f"/orders/{order.pk}/letter/?about=order"))
    for words in ("EUR 274.50", "EUR 22.23", "EUR 296.73", "Tax, 8.1 %"):
        assert words in page
    for words in ("274.50", "296.73", "With tax, EUR"):
        assert words in listed
    assert "EUR 274.50 without tax, EUR 22.23 tax (8.1 %), EUR 296.73 with tax" in letter


def test_a_waiting_message_is_dropped_on_its_page(buyer):
    mail = make_mail()
    press(buyer, f"/orders/mail/{mail.pk}/drop/")
    mail.refresh_from_db()
    assert mail.state == "dropped"
    assert "When?" in collapsed(buyer.get("/orders/mail/"))


def test_what_once_went_wrong_with_a_cancelled_message_is_no_alarm(buyer):
    mail = make_mail(state="dropped", trouble="connection lost")
    page = collapsed(buyer.get(f"/orders/mail/{mail.pk}/"))
    assert "Before it was cancelled: connection lost" in page
    assert 'class="late"' not in page


def test_where_a_message_may_have_arrived_no_act_is_put_first(buyer):
    mail = make_mail(state=Mail.PERHAPS, trouble="connection lost")
    page = collapsed(buyer.get(f"/orders/mail/{mail.pk}/"))
    assert "Ask the other side before sending it again." in page
    assert 'class="button"' not in page
    assert page.count('class="button second"') == 1


def test_a_confirmation_is_asked_for_lines_without_a_date_alone(buyer, line):
    make_line(order=line.order, text="release fork")
    page = collapsed(buyer.get(f"/orders/{line.order_id}/letter/?about=confirmation"))
    assert "release fork | 1" in page
    assert "clutch hose | 1" not in page
    assert "please confirm" in page


def test_wrong_parts_are_told_with_what_is_wrong_and_the_right_ones_asked_for(buyer, people, line):
    today = timezone.localdate()
    make_delivery(line=line, quantity=1, on=today)
    gone = {"line": line, "on": today, "quantity": 1, "recorded_by": people["buyer"], "money_back": 0}
    Return.objects.create(**gone, reason="hose for another bore")
    page = collapsed(buyer.get(f"/orders/{line.order_id}/letter/?about=wrong-part"))
    assert "Parts came that are not as ordered." in page
    assert "| 1 | hose for another bore" in page
    assert "dispatch the right ones" in page
