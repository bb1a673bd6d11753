"""Replies: found to their order, shown beside its lines, and nothing recorded by itself."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from shop.orders.models import Chase, Mail, Promise
from shop.replies.changes import take_in
from shop.replies.models import Reply
from tests.factories.orders import make_chase, make_line, make_mail, make_order
from tests.factories.replies import make_reply
from tests.pages import collapsed, press, words_of
from tests.shop.orders.forms import fault
from tests.shop.replies.messages import answer, bounce

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(people):
    return make_line(order=make_order(ordered_by=people["buyer"]))


@pytest.fixture
def letter(line):
    chase = make_chase(order=line.order)
    return make_mail(chase=chase, message_id="<letter@shop.example>", to="old@nuvo.example", state=Mail.SENT)


def take(content):
    return take_in(content, person=None, now=timezone.now())


def bring(client, content, name="answer.eml"):
    return press(client, "/replies/new/", file=SimpleUploadedFile(name, content))


def test_an_answer_is_found_by_the_letter_that_it_answers(letter):
    other = make_order()
    read = take(answer(f"about {other.number}", more="In-Reply-To: <letter@shop.example>\r\n"))
    assert read.order == letter.chase.order


def test_else_by_our_number_in_it_and_by_none_where_it_names_two(line):
    other = make_order()
    assert take(answer(subject=f"AW: order {line.order.number}")).order == line.order
    assert take(answer(f"yours {other.number}, thanks", message_id="<b@x>")).order == other
    both = answer(f"{line.order.number} and {other.number}", message_id="<c@x>")
    assert take(both).order is None
    assert take(answer(f"9{line.order.number}1", message_id="<d@x>")).order is None


def test_it_is_shown_beside_the_lines_and_nothing_is_recorded_until_a_person_does(buyer, line):
    bring(buyer, answer(f"Order {line.order.number} leaves <b>on Monday</b>."))
    reply = Reply.objects.get()
    assert "Replies 1" in words_of(buyer.get("/"))
    page = collapsed(buyer.get(f"/replies/{reply.pk}/"))
    assert "leaves &lt;b&gt;on Monday&lt;/b&gt;." in page
    assert "clutch kit" in page
    assert not Promise.objects.exists()
    assert not Chase.objects.exists()
    record = next(part for part in page.split('"') if part.startswith(f"/orders/{line.order_id}/chase/?"))
    form = collapsed(buyer.get(record.replace("&amp;", "&")))
    assert "leaves &lt;b&gt;on Monday&lt;/b&gt;." in form
    assert '<option value="mail" selected>' in form
    buyer.post(f"/replies/{reply.pk}/done/")
    assert "Replies 1" not in words_of(buyer.get("/"))


def test_one_message_is_taken_in_once(buyer, line):
    bring(buyer, answer())
    bring(buyer, answer())
    assert Reply.objects.count() == 1


def test_a_letter_that_came_back_is_told_and_its_address_can_be_corrected(buyer, letter):
    reply = take(bounce("<letter@shop.example>", "old@nuvo.example"))
    letter.refresh_from_db()
    assert letter.state == Mail.REFUSED
    assert reply.order == letter.chase.order
    page = words_of(buyer.get(f"/replies/{reply.pk}/"))
    assert "The letter did not arrive. old@nuvo.example: failed, 5.1.1 550 no such user" in page
    assert "came back: old@nuvo.example" in words_of(buyer.get("/"))
    assert buyer.get(f"/orders/mail/{letter.pk}/edit/").status_code == 200


@pytest.mark.parametrize(
    "report",
    [
        bounce("<letter@shop.example>", "old@nuvo.example", status="4.4.7", action="delayed"),
        bounce("<letter@shop.example>", "somebody@else.example"),
    ],
)
def test_a_delay_or_another_address_leaves_the_letter_sent(letter, report):
    assert take(report).kind == Reply.BOUNCE
    letter.refresh_from_db()
    assert letter.state == Mail.SENT


def test_what_is_no_message_is_refused_in_words(buyer):
    page = collapsed(bring(buyer, b"%PDF-1.4\n%%EOF\n", "confirmation.pdf"))
    assert "This holds no e-mail" in fault(page, "file")


def test_a_person_says_which_order_it_is_about(buyer, line):
    reply = make_reply()
    at = f"/replies/{reply.pk}/edit/"
    assert "No order has the number 1999-001." in fault(collapsed(press(buyer, at, number="1999-001")), "number")
    press(buyer, at, number=line.order.number)
    reply.refresh_from_db()
    assert reply.order == line.order


def test_a_message_that_does_not_belong_here_is_deleted_and_brought_back(buyer):
    reply = make_reply()
    press(buyer, f"/replies/{reply.pk}/delete/", reason="an advertisement")
    assert "Replies" not in words_of(buyer.get("/")).split("Chase today")[0]
    buyer.post(f"/undo/replies.reply/{reply.pk}/")
    reply.refresh_from_db()
    assert not reply.is_deleted


def test_a_reply_is_found_by_what_it_says_and_by_its_orders_number(buyer, fitter, line):
    bring(buyer, answer(f"Order {line.order.number} waits for the gudgeon bushes."))
    at = f"/replies/{Reply.objects.get().pk}/"
    for words in ("gudgeon", line.order.number.replace("-", ""), "odile@nuvo"):
        assert at in collapsed(buyer.get("/search/", {"q": words})), words
    assert at not in collapsed(fitter.get("/search/", {"q": "gudgeon"})), "letters name prices"


def test_an_answer_is_found_by_an_earlier_letter_of_its_thread(letter):
    more = "In-Reply-To: <theirs@nuvo.example>\r\nReferences: <letter@shop.example> <theirs@nuvo.example>\r\n"
    assert take(answer("as said", more=more)).order == letter.chase.order
