"""What went back and was never billed is not owed: no money was paid for it that could come back."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.base.records import delete_record, restore_record
from shop.orders.credits import owed_to_us
from shop.orders.models import OrderLine
from shop.payables.changes import Asked, delete_invoice, record_invoice
from shop.payables.models import Invoice
from tests.factories.orders import make_delivery, make_line, make_order
from tests.pages import words_of
from tests.shop.orders.test_owed import goes_back

pytestmark = pytest.mark.django_db

DISC, BOLT = Decimal("10.00"), Decimal("1.00")


@pytest.fixture
def order(people):
    """Four discs of 10.00 and four bolts of 1.00 that came; a disc went back for money."""
    found = make_order(
        ordered_by=people["buyer"], tax_percent=Decimal(0), ordered_on=timezone.localdate() - timedelta(days=20)
    )
    for text, price in (("disc", DISC), ("bolt", BOLT)):
        make_delivery(line=make_line(order=found, text=text, quantity=Decimal(4), price=price))
    goes_back(found.lines.get(text="disc"), 3, to_be_replaced=False)
    return found


def bill(order, number="R 1", invoice=None, above=Decimal(0), **pieces):
    """Record an invoice for so many pieces of lines, by their text, and for so much `above` what they come to."""
    today = timezone.localdate()
    asked = [Asked(line, Decimal(pieces[line.text]), line.price) for line in order.lines.all() if line.text in pieces]
    amount = sum((one.quantity * one.price for one in asked), above)
    head = {"supplier": order.supplier, "number": number, "on": today, "due": today, "amount": amount}
    return record_invoice(invoice or Invoice(**head), lines=asked, person=order.ordered_by, today=today)


def owed():
    return [one.money for one in owed_to_us()]


def test_before_any_invoice_nobody_knows_and_it_stays_owed(order):
    assert owed() == [DISC]


@pytest.mark.parametrize(("pieces", "left"), [({"disc": 3}, []), ({"disc": 4}, [DISC]), ({"bolt": 4}, [])])
def test_only_what_an_invoice_asks_for_is_owed(buyer, order, pieces, left):
    bill(order, **pieces)
    assert owed() == left
    assert ("no money is owed for it" in words_of(buyer.get(order.get_absolute_url()))) is not bool(left)


def test_an_invoice_that_asks_for_more_than_its_lines_may_be_for_what_went_back(order):
    bill(order, above=DISC, disc=3)
    assert owed() == [DISC]


def test_what_a_later_invoice_asks_for_is_owed_again_and_not_when_that_is_taken_back(order):
    bill(order, disc=3)
    later = bill(order, "R 2", disc=1)
    assert owed() == [DISC]
    taken = delete_invoice(later, reason="typed twice", person=order.ordered_by, now=timezone.now())
    assert owed() == []
    restore_record(taken, person=order.ordered_by)
    assert owed() == [DISC]


def test_an_invoice_that_turns_out_to_be_of_another_order_leaves_it_owed(order):
    invoice = bill(order, disc=3)
    other = make_order(supplier=order.supplier, ordered_by=order.ordered_by)
    make_delivery(line=make_line(order=other, text="plate", quantity=Decimal(1), price=DISC))
    bill(other, invoice=invoice, plate=1)
    assert owed() == [DISC]


def test_of_two_returns_of_a_line_only_what_was_not_billed_is_spared(order):
    disc = OrderLine.objects.get(text="disc")
    goes_back(disc, 1, quantity=2, to_be_replaced=False)
    bill(order, disc=2)
    assert owed() == [DISC], "four came and two were billed: of three that went back one was paid for"


def test_what_was_paid_before_it_came_is_owed_all_the_same(order):
    order.deposit = Decimal(20)
    order.save()
    bill(order, disc=3)
    assert owed() == [DISC]


def test_a_sum_that_a_person_agreed_is_believed(order):
    agreed = order.lines.get(text="disc").returns.get()
    agreed.money_back = Decimal("7.50")
    agreed.save()
    bill(order, disc=3)
    assert owed() == [Decimal("7.50")]


def test_a_replacement_is_owed_whatever_was_billed(order):
    goes_back(order.lines.get(text="bolt"), 2)
    bill(order, disc=3, bolt=4)
    assert [(one.money, one.pieces) for one in owed_to_us()] == [(None, Decimal(1))]


def test_what_goes_back_after_its_invoice_and_was_not_billed_is_not_owed(order):
    bill(order, disc=2)
    assert owed() == [], "four came and two were billed: the one that went back was not"
    later = goes_back(OrderLine.objects.get(text="disc"), 1, quantity=2, to_be_replaced=False)
    assert owed() == [DISC], "a third that went back was billed"
    assert later.unbilled == 1, "whoever recorded it may save it again"


def test_what_is_learnt_after_the_invoice_counts_at_once(order):
    disc = OrderLine.objects.get(text="disc")
    bill(order, disc=4)
    assert owed() == [DISC]
    late = make_delivery(line=disc, quantity=Decimal(1))
    assert owed() == [], "a fifth came that no invoice asks for"
    delete_record(late, person=order.ordered_by, reason="another order's", now=timezone.now())
    assert owed() == [DISC]
    restore_record(late, person=order.ordered_by)
    assert owed() == []
    order.deposit = Decimal(20)
    order.save()
    assert owed() == [DISC], "it was paid before it came"
