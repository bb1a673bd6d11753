"""Chasing by letter or mail: what the draft says, what is kept, and hostile text."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.core import mail as sent_mail
from django.utils import timezone

from shop.orders.letter import LetterLine, draft
from shop.orders.models import Chase, Mail
from tests.factories.jobs import make_part_need
from tests.factories.orders import make_chase, make_line, make_mail, make_order, make_promise, make_supplier
from tests.pages import collapsed, press
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
    assert letter.subject == "Order 2026-014 (your reference FE-77): when will it come?"
    for words in (
        "Dear Odile Marsh",
        "on 2 Mar we ordered",
        "1 × the clutch",
        "First promised for 10 Apr, put off 2 times since, last to 14 May, and now 6 days past.",
        "A vehicle here waits for it; 3 steps cannot be done.",
        "Wren Calloway",
    ):
        assert words in letter.body


def test_part_of_a_line_is_asked_for_as_part():
    letter = write(LetterLine(plain_line(FIRST, quantity=8, events=[came(5)])))
    assert "3 of 8 × the clutch" in letter.body


def test_a_line_without_any_date_says_so():
    assert "You have not given us a date yet." in write(LetterLine(plain_line()), contact="", reference="").body


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
    page = collapsed(response)
    assert "Please say." in page
    assert "Nuvo" in page
    assert not Mail.objects.exists()


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


def test_a_letter_is_printed_as_it_was_written(buyer):
    chase = make_chase(order=make_order(), text="When will it come?\n\nPlease say.")
    page = collapsed(buyer.get(f"/orders/chase/{chase.pk}/letter/"))
    assert "When will it come?" in page
    assert "Please say." in page
