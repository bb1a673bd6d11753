"""Sending pieces back: to be replaced, or for money."""

from decimal import Decimal

import pytest

from tests.factories.orders import make_delivery
from tests.pages import collapsed, press
from tests.shop.orders.forms import fault, left, old_bolts, sent, today

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(people):
    return old_bolts()


def test_a_faulty_piece_goes_back_and_is_to_come_again(fitter, buyer, line):
    make_delivery(line=line)
    form = sent(on=today(), quantity="1", reason="cracked", to_be_replaced="on", money_back="")
    fitter.post(f"/orders/line/{line.pk}/return/", form)
    assert left(line) == 1
    assert "cracked" in collapsed(fitter.get(f"/orders/{line.order_id}/"))
    written = collapsed(buyer.get(f"/orders/{line.order_id}/letter/?about=return"))
    assert "tell us when you send others in their place" in written


def test_no_more_goes_back_than_is_here(fitter, line):
    make_delivery(line=line, quantity=Decimal(2))
    form = sent(on=today(), quantity="3", reason="cracked", money_back="")
    page = collapsed(fitter.post(f"/orders/line/{line.pk}/return/", form))
    assert "Only 2 of 8 here." in fault(page, "quantity")


def test_the_money_for_a_return_is_owed_until_it_came(buyer, line):
    make_delivery(line=line)
    buyer.post(f"/orders/line/{line.pk}/return/", sent(on=today(), quantity="1", reason="cracked", money_back="12.50"))
    back = line.returns.get()
    assert back.owes_money
    press(buyer, f"/orders/return/{back.pk}/money/", on=today())
    back.refresh_from_db()
    assert not back.owes_money


def test_a_return_recorded_by_mistake_is_taken_back(fitter, line):
    make_delivery(line=line)
    fitter.post(f"/orders/line/{line.pk}/return/", sent(on=today(), quantity="1", reason="cracked", money_back=""))
    press(fitter, f"/orders/return/{line.returns.get().pk}/delete/", reason="not cracked")
    assert line.returns.get().deleted_reason == "not cracked"


def test_what_a_fitter_sends_back_for_money_is_owed_at_the_lines_price_with_tax(fitter, buyer, line):
    make_delivery(line=line)
    line.order.tax_percent = Decimal(20)
    line.order.save()
    line.price = Decimal("3.15")
    line.save()
    fitter.post(f"/orders/line/{line.pk}/return/", sent(on=today(), quantity="3", reason="cracked"))
    back = line.returns.get()
    assert back.owes_money
    assert "11.34" not in collapsed(fitter.get(f"/orders/{line.order_id}/"))
    assert "EUR 11.34 to get back" in collapsed(buyer.get(f"/orders/{line.order_id}/"))  # 3 × 3.15, and 20 % on it
    letter = f"/orders/{line.order_id}/letter/"
    assert "Please pay back EUR 11.34." in collapsed(buyer.get(f"{letter}?about=return"))
    asked = [collapsed(buyer.get(f"{letter}?about={about}")) for about in ("return", "wrong-part")]
    assert not any("send others" in page or "the right ones" in page for page in asked), "it is paid back, not replaced"
    line.refresh_from_db()
    line.price = Decimal("4.15")
    line.save()
    assert "EUR 14.94 to get back" in collapsed(buyer.get(f"/orders/{line.order_id}/")), "the price was corrected"
    press(buyer, f"/orders/return/{back.pk}/money/", on=today())
    line.refresh_from_db()
    line.price = Decimal("5.15")
    line.save()
    assert "EUR 14.94 to get back, came on" in collapsed(buyer.get(f"/orders/{line.order_id}/")), "it came already"


@pytest.mark.parametrize("sends", [{"to_be_replaced": "on", "money_back": ""}, {"money_back": "0"}])
def test_nothing_is_owed_for_what_is_replaced_or_where_the_buyer_says_so(buyer, line, sends):
    make_delivery(line=line)
    buyer.post(f"/orders/line/{line.pk}/return/", sent(on=today(), quantity="3", reason="cracked", **sends))
    assert not line.returns.get().owes_money


def test_a_replacement_and_money_for_one_piece_are_asked_about_before_both_are_owed(buyer, line):
    make_delivery(line=line)
    at, typed = f"/orders/line/{line.pk}/return/", {"on": today(), "quantity": "1", "reason": "cracked"}
    both = {**typed, "to_be_replaced": "on", "money_back": "12,50"}
    assert 'type="checkbox" name="both"' not in collapsed(buyer.get(at))
    page = collapsed(press(buyer, at, **both))
    assert "Tick it if both are agreed, such as a credit note and a new invoice." in fault(page, "both")
    assert 'type="checkbox" name="both"' in page
    assert all(f'value="{kept}"' in page for kept in ("1", "cracked", "12,50"))
    assert not line.returns.exists()
    press(buyer, at, **both, both="on")
    back = line.returns.get()
    assert (back.to_be_replaced, back.still_owed, left(line)) == (True, Decimal("12.50"), 1)


@pytest.mark.parametrize(("settles", "to_come", "owed"), [("instead", 0, "5.00"), ("both", 1, "3.20")])
def test_a_credit_note_for_a_piece_that_is_sent_again_asks_which_of_the_two(buyer, line, settles, to_come, owed):
    make_delivery(line=line)
    line.price = Decimal(5)
    line.save()
    press(buyer, f"/orders/line/{line.pk}/return/", on=today(), quantity="1", reason="cracked", to_be_replaced="on")
    back = line.returns.get()
    at, note = back.credit_address, {"on": today(), "amount": "3.20", "number": "G 7", "came_on": ""}
    assert at in collapsed(buyer.get(line.get_absolute_url()))
    page = collapsed(press(buyer, at, **note))
    assert "Say whether the money comes instead, or both do." in fault(page, "settles")
    assert 'value="G 7"' in page
    assert not back.credits.exists()
    press(buyer, at, **note, settles=settles)
    back.refresh_from_db()
    assert (back.to_be_replaced, back.still_owed, left(line)) == (settles == "both", Decimal(owed), to_come)


def test_a_piece_that_came_again_is_not_credited_instead(buyer, line):
    make_delivery(line=line)
    press(buyer, f"/orders/line/{line.pk}/return/", on=today(), quantity="1", reason="cracked", to_be_replaced="on")
    make_delivery(line=line, quantity=Decimal(1))
    back = line.returns.get()
    page = collapsed(press(buyer, back.credit_address, on=today(), amount="3.20", settles="instead"))
    assert "What they sent in its place came already." in fault(page, "settles")
    assert not back.credits.exists()
