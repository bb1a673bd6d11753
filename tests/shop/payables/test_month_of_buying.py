"""A month of buying as the buyer lives it, through the pages alone: from the order to the money back.

30 orders, 60 parcels, 5 returns, 2 silent suppliers, an insolvent one, and a file of 5,000 rows of which 7 are wrong.
"""

import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.credits import owed_to_us
from shop.orders.models import Delivery, Order, OrderLine, Supplier
from shop.payables.models import Invoice
from tests.factories.orders import make_supplier
from tests.pages import collapsed, press, words_of
from tests.shop.orders.forms import sent, today
from tests.shop.orders.test_order_new import form

pytestmark = pytest.mark.django_db

HEAD = "supplier,reference,ordered_on,part,quantity,price"


def days_ago(days):
    return (timezone.localdate() - timedelta(days=days)).isoformat()


def place(client, supplier, number):
    """An order of four lines a month ago, with a date for all of them in three weeks unless it is silent."""
    lines = [{"text": f"part {number}-{at}", "quantity": "4", "price": "12.50"} for at in range(4)]
    answer = client.post("/orders/new/", form(*lines, supplier=supplier.pk, ordered_on=days_ago(30)))
    return Order.objects.get(pk=int(answer.url.split("/")[2]))


def promise(client, order, on):
    lines = list(order.lines.values_list("pk", flat=True))
    call = {"how": "phone", "on": days_ago(29), "answered_on": days_ago(29), "lines": lines, "day": on}
    assert press(client, f"/orders/{order.pk}/chase/", **call).status_code == 302


def parcel(client, order, **typed):
    """One parcel: the press on the order's page, or what is typed into the form."""
    page = collapsed(client.get(f"/orders/{order.pk}/"))
    shown = re.search(r'<form method="post" action="[^"]*/delivery/">(.*?)</form>', page)[1]
    press_all = dict(re.findall(r'name="([^"]+)" value="([^"]*)"', shown))
    fields = sent(**typed, on=today()) if typed else press_all
    return client.post(f"/orders/{order.pk}/delivery/", fields)


@pytest.mark.desk
def test_a_month_of_buying(buyer):
    suppliers = [make_supplier(name=f"Maker {letter}") for letter in "ABCDEF"]
    silent, broke = suppliers[3:5], suppliers[5]
    orders = [place(buyer, suppliers[at % 6], at) for at in range(30)]
    for order in orders:
        if order.supplier not in silent:
            promise(buyer, order, days_ago(-9))
    good = [order for order in orders if order.supplier not in silent and order.supplier != broke]

    for at, order in enumerate(good):  # four parcels each: three by line, one of them all that is left
        lines = list(order.lines.all())
        bad = {f"bad_{lines[0].pk}": "1", f"why_{lines[0].pk}": "thread torn", "settle": "pay"} if at < 5 else {}
        assert "about=wrong-part" in parcel(buyer, order, **{f"line_{lines[0].pk}": "4"}, **bad).url or at >= 5
        for line in lines[1:3]:
            parcel(buyer, order, **{f"line_{line.pk}": "4"})
        parcel(buyer, order)
    assert Delivery.objects.values("line__order", "recorded_at").count() == 60
    assert not OrderLine.objects.to_come().filter(order__in=good).exists()

    press(buyer, f"/orders/suppliers/{broke.pk}/edit/", name=broke.name, insolvent_on=today(), language="en")
    late = words_of(buyer.get("/planning/late/"))
    for one in [*silent, broke]:
        assert one.name in late, "nobody forgets an order that nobody answers for"
    assert "not expected: supplier insolvent since" in late
    assert "part 0-0" not in late, "what came is asked about no more"

    today_page = words_of(buyer.get("/"))
    assert "Owed to us 5" in today_page
    assert sum(one.money for one in owed_to_us()) == 5 * Decimal("15.00")  # 12.50 and 20 % on it
    for at, order in enumerate(good):
        pieces = {f"line_{line.pk}": "4" for line in order.lines.all()}
        above = Decimal(7) if at == 0 else Decimal(0)
        paper = {"number": f"R {at}", "on": today(), "due": today(), "amount": 240 + above, **pieces}
        assert press(buyer, f"/payables/new/?order={order.pk}", **paper).status_code == 302
    for invoice in Invoice.objects.order_by("pk"):
        press(buyer, f"/payables/{invoice.pk}/pay/", paid_on=today(), paid=str(invoice.amount))
    asked = Invoice.objects.with_lines().filter(paid_on=None).order_by("pk")
    differences = [one.difference for one in asked]
    assert differences == [22, 15, 15, 15, 15], "billed what went back, or more: not paid without being asked"
    for one in asked:
        why = {"anyway": "on", "reason": "its credit is promised"}
        press(buyer, f"/payables/{one.pk}/pay/", paid_on=today(), paid=str(one.amount), **why)
    assert not Invoice.objects.filter(paid_on=None).exists()
    for one in owed_to_us():
        press(buyer, one.event.money_address, on=today())
    assert owed_to_us() == []
    assert "Owed to us" not in words_of(buyer.get("/"))


def test_a_file_of_five_thousand_rows_names_its_seven_bad_ones_and_writes_nothing(buyer):
    rows = [f"Maker {at % 40},R-{at // 4},{days_ago(at % 700 + 1)},part {at},2,12.50" for at in range(5000)]
    rows = [re.sub(r"R-(\d+),[\d-]+", lambda one: f"R-{one[1]},{days_ago(int(one[1]) % 700 + 1)}", row) for row in rows]
    rows = [row.replace(f"Maker {at % 40},", f"Maker {at // 4 % 40},", 1) for at, row in enumerate(rows)]
    wrong = range(100, 4900, 700)
    for at in wrong:
        rows[at] = rows[at].replace(",12.50", ",twelve")
    page = collapsed(buyer.post("/orders/import/", {"text": "\n".join([HEAD, *rows]), "write": "yes"}))
    assert "7 things to put right; nothing was written" in page
    assert all(f"{at + 2}" in page for at in wrong)
    assert not Supplier.objects.exists()
