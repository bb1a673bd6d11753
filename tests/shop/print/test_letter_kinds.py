"""Every kind of letter: what is mailed and what is printed are the same words, and nothing undone is ordered."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shop.orders.changes import cancel_pieces, send_letter
from shop.orders.letter_drafts import LETTER_KINDS, draft_letter
from shop.orders.models import Mail, OrderLine
from shop.print.changes import write_to_customer
from shop.print.customer_draft import draft_customer_letter
from shop.print.letter_facts import read_customer_letter, read_letter
from shop.print.letter_sheet import draw_letter
from tests.factories.jobs import make_job, make_step
from tests.factories.orders import make_line, make_order, make_supplier, make_undone
from tests.factories.people import make_person
from tests.pdfs import text_of

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()


@pytest.fixture
def wren():
    return make_person(roles=["buyer"], first_name="Wren", last_name="Calloway")


@pytest.fixture
def order(wren):
    """One line still to come, one cancelled, one that came wrong and went back for money, one that came in part."""
    order = make_order(supplier=make_supplier(contact="Odile Marsh"), ordered_on=TODAY - timedelta(days=9))
    texts = ("ring gear", "dowels", "braided hose", "studs")
    make_undone(order, texts, person=wren, reason="too short", to_be_replaced=False)
    return order


def spoken(body):
    """The words of a text without the strokes of its tables."""
    return " ".join(word for word in body.split() if word != "|")


def test_each_kind_of_letter_prints_the_words_that_it_mails(order, wren):
    for kind in LETTER_KINDS:
        written = draft_letter(order, kind.about, wren, TODAY)
        chase = send_letter(
            order,
            by_mail=True,
            to="sales@example.org",
            subject=written.subject,
            body=written.body,
            ask_again_on=None,
            person=wren,
            today=TODAY,
        )
        mailed = Mail.objects.get(chase=chase)
        printed = text_of(draw_letter(read_letter(chase), "A4"))
        assert spoken(f"{mailed.subject} {mailed.body}") in printed, kind.title


def test_a_letter_to_a_customer_prints_the_words_that_it_mails():
    hedda = make_person(roles=["owner"])
    job = make_job(title="Pedal stop set")
    make_step(job=job, title="Set the pedal stop", finished_at=timezone.now(), finished_by=hedda)
    written = draft_customer_letter(job, "ready", hedda, TODAY, lambda today: None)
    sent = {"subject": written.subject, "body": written.body, "person": hedda, "today": TODAY}
    letter = write_to_customer(job, by_mail=True, to="brask@example.org", **sent)
    mailed = Mail.objects.get()
    assert spoken(f"{mailed.subject} {mailed.body}") in text_of(draw_letter(read_customer_letter(letter), "A4"))


def test_what_is_cancelled_or_went_back_is_not_ordered_again(order, wren):
    body = draft_letter(order, "order", wren, TODAY).body
    assert "ring gear | 2 | 10.00 | 20.00" in body
    assert "dowels" not in body
    assert "braided hose | 1 | 10.00 | 10.00" in body
    assert "EUR 50.00 without tax" in body
    other = make_order()
    line = OrderLine.objects.with_story().get(pk=make_line(order=other, text="studs", quantity=1).pk)
    cancel_pieces(line, quantity=Decimal(1), reason="not needed", on=TODAY, person=wren, today=TODAY)
    with pytest.raises(ValidationError, match="cancelled or went back"):
        draft_letter(other, "order", wren, TODAY)
