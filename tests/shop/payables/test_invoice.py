"""Suppliers' invoices: matched to deliveries, the difference shown, and asked about before they are paid."""

import csv
import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.models import Cancellation, Return
from shop.payables.models import Invoice
from tests.factories.orders import make_credit, make_delivery, make_line, make_order, make_supplier
from tests.factories.payables import make_invoice
from tests.pages import collapsed, press, words_of
from tests.queries import queries_of
from tests.shop.orders.forms import fault

pytestmark = pytest.mark.django_db

TODAY = timezone.localdate


def value_of(page, name):
    """What a box of a page holds."""
    box = re.search(rf'<input[^>]*name="{name}"[^>]*>', page)[0]
    found = re.search(r'value="([^"]*)"', box)
    return found[1] if found else ""


def shown_lines(page):
    """The lines of a form as they were filled in."""
    names = set(re.findall(r'name="((?:line|price)_\d+)"', page))
    return {name: value_of(page, name) for name in names}


@pytest.fixture
def order(people):
    """Three discs of 9.99 and four bolts of 0.333 at 20 % tax, all here since yesterday."""
    supplier = make_supplier(name="Nuvo")
    found = make_order(supplier=supplier, tax_percent=Decimal(20), ordered_on=TODAY() - timedelta(days=20))
    make_line(order=found, text="disc", quantity=Decimal(3), price=Decimal("9.99"))
    make_line(order=found, text="bolt", quantity=Decimal(4), price=Decimal("0.33"))
    for line in found.lines.all():
        make_delivery(line=line, on=TODAY() - timedelta(days=1))
    return found


def deliveries(order):
    return [one for line in order.lines.all() for one in line.deliveries.all()]


def typed(order, amount, *, pieces=None, **more):
    """What is typed: the paper's head, and of each line the pieces (all of it unless said) at its price."""
    lines = {f"line_{line.pk}": (pieces or {}).get(line.text, line.quantity) for line in order.lines.all()}
    usual = {"number": "R-2207", "on": TODAY().isoformat(), "due": TODAY().isoformat(), "freight": ""}
    return {**usual, "amount": amount, **lines, **more}


def add(client, order, amount="37.55", **more):
    return press(client, f"/payables/new/?order={order.pk}", **typed(order, amount, **more))


def test_without_a_supplier_the_first_one_is_led_to(buyer):
    page = collapsed(buyer.get("/payables/new/"))
    assert "No supplier is on record yet." in page
    assert '<a href="/orders/suppliers/new/">Add the first supplier</a>' in page


def test_an_invoice_is_matched_to_what_came_and_agrees_to_the_cent(buyer, order):
    """3 × 9.99 + 4 × 0.33 = 31.29; 20 % of it 6.258 → 6.26, halves up; together 37.55."""
    page = collapsed(buyer.get(f"/payables/new/?order={order.pk}"))
    for line in order.lines.all():
        assert value_of(page, f"line_{line.pk}") == f"{line.quantity:.0f}", "what came and is not billed is filled in"
        assert value_of(page, f"price_{line.pk}") == str(line.price)
    paper = {"number": "R-2207", "on": TODAY().isoformat(), "due": TODAY().isoformat(), "amount": "37.55"}
    press(buyer, f"/payables/new/?order={order.pk}", **shown_lines(page), **paper)
    invoice = Invoice.objects.with_lines().get()
    assert (invoice.delivered, invoice.difference) == (Decimal("37.55"), 0)
    shown = words_of(buyer.get(f"/payables/{invoice.pk}/"))
    assert "Difference none" in shown
    assert "above" not in shown
    assert str(invoice.number) in words_of(buyer.get("/search/?q=R2207"))
    press(buyer, f"/payables/{invoice.pk}/pay/", paid_on=TODAY().isoformat(), paid="37.55")
    invoice.refresh_from_db()
    assert invoice.is_paid


def test_the_day_it_is_due_follows_the_suppliers_terms_which_stand_beside_it(buyer, order):
    order.supplier.terms = "2 % within 10 days, 45 days net"
    order.supplier.save()
    page = collapsed(buyer.get(f"/payables/new/?order={order.pk}"))
    assert value_of(page, "due") == (TODAY() + timedelta(days=45)).isoformat()
    assert "Their terms: 2 % within 10 days, 45 days net." in page
    assert f"/payables/new/?supplier={order.supplier_id}" in collapsed(buyer.get(order.supplier.get_absolute_url()))


def test_an_invoice_above_what_was_delivered_is_not_paid_without_being_asked(buyer, order):
    add(buyer, order, "40.00")
    invoice = Invoice.objects.with_lines().get()
    at = f"/payables/{invoice.pk}/"
    assert "EUR 2.45 above what was delivered" in words_of(buyer.get(at))
    assert '<span class="late">check first, due ' in collapsed(buyer.get("/payables/"))
    today = collapsed(buyer.get("/"))
    assert "2.45 above" in today, "Today says so beside the day it is due"
    assert f'<a href="{at}">Check<' in today, "and leads to what differs, not to paying"
    page = collapsed(press(buyer, f"{at}pay/", paid_on=TODAY().isoformat(), paid="40.00"))
    assert "It is EUR 2.45 above what was delivered." in fault(page, "anyway")
    press(buyer, f"{at}pay/", paid_on=TODAY().isoformat(), paid="40.00", anyway="on", reason="")
    assert not Invoice.objects.get().is_paid, "without a reason it is not paid either"
    press(buyer, f"{at}pay/", paid_on=TODAY().isoformat(), paid="40.00", anyway="on", reason="pallet charge")
    assert Invoice.objects.get().difference_reason == "pallet charge"


def test_an_invoice_for_nothing_that_came_is_asked_about(buyer, order):
    add(buyer, order, "10", pieces={"disc": "", "bolt": "0"})
    assert "Nothing that was ordered is matched to it." in words_of(buyer.get(f"/payables/{Invoice.objects.get().pk}/"))


def test_freight_above_what_was_agreed_is_asked_about_and_agreed_freight_is_not(buyer, order):
    order.freight = Decimal(10)
    order.save()
    assert 'value="10.00"' in collapsed(buyer.get(f"/payables/new/?order={order.pk}"))
    add(buyer, order, "49.55", freight="10")
    invoice = Invoice.objects.with_lines().get()
    assert invoice.difference == 0, "37.55 and freight of 12 with tax"
    press(buyer, f"/payables/{invoice.pk}/edit/", **typed(order, "61.55", freight="20"))
    assert "Freight of EUR 10.00 was agreed, not EUR 20.00." in words_of(buyer.get(f"/payables/{invoice.pk}/"))


def test_a_credit_set_off_pays_that_much_and_is_owed_again_when_the_payment_is_taken_back(buyer, people, order):
    line = order.lines.get(text="disc")
    back = Return.objects.create(
        line=line, on=TODAY(), quantity=1, reason="bent", to_be_replaced=False, recorded_by=people["buyer"]
    )
    credit = make_credit(returned=back, amount=Decimal("11.99"))
    add(buyer, order)
    invoice = Invoice.objects.with_lines().get()
    at = f"/payables/{invoice.pk}/"
    assert "To pay EUR 25.56 with 1 credit set off" in words_of(buyer.get(at))
    assert "1 went back" not in words_of(buyer.get(at)), "its credit note is here"
    asked = collapsed(buyer.get(f"{at}pay/"))
    assert value_of(asked, "paid") == "25.56"
    assert "checked" in asked
    press(buyer, f"{at}pay/", paid_on=TODAY().isoformat(), paid="25.56", credits=[credit.pk])
    back.refresh_from_db()
    assert back.still_owed == 0
    assert "EUR 25.56" in words_of(buyer.get(at))
    press(buyer, f"{at}unpay/", reason="the bank sent it back")
    back = Return.objects.get()
    assert back.still_owed == Decimal("11.99")
    assert not Invoice.objects.get().is_paid


def test_what_is_on_another_invoice_is_not_filled_in_and_asked_about_where_it_is_billed_twice(buyer, order):
    make_invoice(*deliveries(order), number="R 1")
    disc = order.lines.get(text="disc")
    page = collapsed(buyer.get(f"/payables/new/?order={order.pk}"))
    assert value_of(page, f"line_{disc.pk}") == ""
    other = words_of(buyer.get(f"/payables/new/?supplier={order.supplier_id}"))
    assert "Nothing that was ordered there waits for an invoice." in other
    add(buyer, order, pieces={"bolt": ""})
    twice = Invoice.objects.get(number="R-2207")
    assert "disc: 3 billed twice, on invoice R 1 already." in words_of(buyer.get(f"/payables/{twice.pk}/"))
    assert "twice" not in words_of(buyer.get(f"/payables/{Invoice.objects.get(number='R 1').pk}/")), (
        "the first is right"
    )
    page = collapsed(press(buyer, f"/payables/{twice.pk}/pay/", paid_on=TODAY().isoformat(), paid="37.55"))
    assert "billed twice" in fault(page, "anyway")


def test_each_line_says_what_differs_from_what_was_ordered_and_what_came(buyer, people, order):
    disc, bolt = order.lines.get(text="disc"), order.lines.get(text="bolt")
    make_line(order=order, text="shaft", quantity=Decimal(5), price=Decimal(10))
    shaft = order.lines.get(text="shaft")
    make_delivery(line=shaft, quantity=Decimal(2), on=TODAY())
    Cancellation.objects.create(line=shaft, on=TODAY(), quantity=2, reason="dropped", recorded_by=people["buyer"])
    Return.objects.create(
        line=bolt, on=TODAY(), quantity=1, reason="bent", to_be_replaced=False, recorded_by=people["buyer"]
    )
    add(buyer, order, "110.00", **{f"price_{disc.pk}": "10.99"}, tax="30.00")
    at = f"/payables/{Invoice.objects.get().pk}/"
    shown = words_of(buyer.get(at))
    assert "price risen from EUR 9.99 to EUR 10.99 each, EUR 3.00 in all" in shown
    assert "shaft: 1 billed, still to come." in shown
    assert "shaft: 2 billed, cancelled, billed all the same." in shown
    assert "bolt: 1 went back, and no credit note of it is on record." in shown
    assert "The tax at the rate of its order is EUR 16.86, not EUR 30.00." in shown
    # 3 × 9.99 + 3 × 0.33 + 2 × 10 = 50.96 is due; 20 % on it 10.19; together 61.15.
    assert Invoice.objects.with_lines().get().delivered == Decimal("61.15")
    press(buyer, f"{at}pay/", paid_on=TODAY().isoformat(), paid="110.00")
    assert not Invoice.objects.get().is_paid


def test_an_invoice_that_comes_before_its_parcel_agrees_once_the_parcel_came(buyer, order):
    late = make_line(order=order, text="shaft", quantity=Decimal(1), price=Decimal(10))
    add(buyer, order, "12.00", pieces={"disc": "", "bolt": ""})
    at = f"/payables/{Invoice.objects.get().pk}/"
    assert "shaft: 1 billed, still to come." in words_of(buyer.get(at))
    make_delivery(line=late, on=TODAY())
    assert "Difference none" in words_of(buyer.get(at))
    assert "R-2207" in words_of(buyer.get("/payables/deliveries/?words=shaft")), "before it is paid"
    press(buyer, f"{at}pay/", paid_on=TODAY().isoformat(), paid="12.00")
    assert [one.delivery.line for one in Invoice.objects.get().matched.all()] == [late]


def test_one_number_of_a_supplier_is_there_once(buyer, order):
    make_invoice(deliveries(order)[0], number="R-2207")
    page = collapsed(add(buyer, order, pieces={"disc": ""}))
    assert "There is an invoice with this number of this supplier on record already." in page


def test_a_paid_invoice_is_deleted_only_after_its_payment_was_taken_back(buyer, order):
    invoice = make_invoice(*deliveries(order), paid_on=TODAY(), paid=Decimal("37.55"))
    page = collapsed(press(buyer, f"/payables/{invoice.pk}/delete/", reason="twice"))
    assert "take the payment back first" in page
    assert not Invoice.objects.get().is_deleted


def test_the_file_by_invoice_has_clean_decimals_and_as_many_queries_for_many(buyer, order):
    make_invoice(*deliveries(order), number="R 1", amount=Decimal("40"))
    rows = list(csv.DictReader(buyer.get("/payables/?as=csv").content.decode("utf-8-sig").splitlines()))
    assert (rows[0]["Amount with tax"], rows[0]["Delivered with tax"], rows[0]["Difference"]) == (
        "40.00",
        "37.55",
        "2.45",
    )
    assert rows[0]["Currency"] == "EUR"
    one = queries_of(buyer, "/payables/")
    for _ in range(5):
        make_invoice(make_delivery(line=make_line()))
    assert len(queries_of(buyer, "/payables/")) == len(one)


def test_a_fitter_sees_none_of_it(fitter, order):
    invoice = make_invoice(*deliveries(order), number="KZ-4711")
    assert fitter.get(f"/payables/{invoice.pk}/").status_code == 403
    assert f"/payables/{invoice.pk}/" not in collapsed(fitter.get("/search/?q=KZ-4711"))


def test_the_list_says_what_is_to_be_paid_and_what_is_overdue(buyer, order):
    late, due, paid = (
        make_invoice(
            one, on=TODAY() - timedelta(days=9), due=TODAY() + timedelta(days=days), number=f"R {days}", **more
        )
        for one, days, more in zip(
            [*deliveries(order), deliveries(order)[0]],
            (-2, 5, 9),
            ({}, {}, {"paid_on": TODAY(), "paid": 4}),
            strict=True,
        )
    )
    page = collapsed(buyer.get("/payables/"))
    told = dict(re.findall(r">(R -?\d)</a></th>(.*?)</tr>", page))
    assert '<span class="late">check first, 2 days overdue</span>' in told[late.number], "a paid one billed it already"
    assert ">due " in told[due.number]
    assert "overdue" not in told[due.number] + told[paid.number]
    assert ">paid<" in told[paid.number]
