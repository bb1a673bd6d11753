"""Order, supplier and chase pages; and for every page the stranger, the wrong role and the bad number."""

import re
from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.utils import timezone

from shop.orders.models import ApprovalLimit, Chase, Order, Supplier
from tests.factories.orders import make_chase, make_delivery, make_line, make_order, make_promise, make_supplier
from tests.pages import collapsed, press, words_of
from tests.queries import queries_of
from tests.shop.orders.forms import fault, sent

pytestmark = pytest.mark.django_db


EVERYBODY = ["/orders/", "/planning/late/", "/orders/{order}/", "/orders/suppliers/", "/orders/suppliers/{supplier}/"]


BUYERS = [
    "/orders/new/",
    "/orders/{order}/edit/",
    "/orders/{order}/delete/",
    "/orders/{order}/line/",
    "/orders/{order}/promise/",
    "/orders/{order}/chase/",
    "/orders/line/{line}/edit/",
    "/orders/line/{line}/cancel/",
    "/orders/chase/{chase}/edit/",
    "/orders/chase/{chase}/delete/",
    "/orders/promise/{promise}/delete/",
    "/orders/suppliers/new/",
    "/orders/suppliers/{supplier}/edit/",
    "/orders/suppliers/{supplier}/delete/",
]


RECEIVERS = ["/orders/{order}/delivery/", "/orders/line/{line}/return/", "/orders/delivery/{delivery}/delete/"]


@pytest.fixture
def keys(people):
    line = make_line(order=make_order(ordered_on=timezone.localdate() - timedelta(days=9)))
    return {
        "line": line.pk,
        "order": line.order_id,
        "supplier": line.order.supplier_id,
        "promise": make_promise(line=line, latest=timezone.localdate()).pk,
        "delivery": make_delivery(line=line).pk,
        "chase": make_chase(order=line.order).pk,
    }


@pytest.mark.parametrize("address", EVERYBODY + BUYERS + RECEIVERS)
def test_the_stranger_is_sent_to_sign_in(client, keys, address):
    assert "/people/" in client.get(address.format(**keys)).url


@pytest.mark.parametrize("address", EVERYBODY + BUYERS + RECEIVERS)
def test_the_buyer_sees_every_page(buyer, keys, address):
    assert buyer.get(address.format(**keys)).status_code == 200


@pytest.mark.parametrize("address", BUYERS)
def test_the_fitter_is_told_who_may(fitter, keys, address):
    response = fitter.get(address.format(**keys))
    assert response.status_code == 403
    assert "owner, buyer" in collapsed(response)


@pytest.mark.parametrize("address", EVERYBODY + RECEIVERS)
def test_the_fitter_sees_orders_and_receives(fitter, keys, address):
    assert fitter.get(address.format(**keys)).status_code == 200


@pytest.mark.parametrize("address", [a for a in EVERYBODY + BUYERS + RECEIVERS if "{" in a])
def test_a_number_that_is_nobodys_gives_a_plain_404(buyer, keys, address):
    assert buyer.get(address.format(**dict.fromkeys(keys, 999999))).status_code == 404


def test_the_order_page_tells_everything(buyer, keys):
    page = collapsed(buyer.get(f"/orders/{keys['order']}/"))
    assert "clutch kit" in page
    assert "said on" in page
    assert "1 delivered" in page
    assert "no answer yet" in page


def test_the_order_page_asks_the_same_number_of_queries_for_any_number_of_lines(buyer, keys):
    address = f"/orders/{keys['order']}/"
    one = len(queries_of(buyer, address))

    for _ in range(10):
        make_line(order=Order.objects.get(pk=keys["order"]), promised=timezone.localdate(), came=timezone.localdate())
    assert len(queries_of(buyer, address)) == one


@pytest.mark.parametrize("address", ["/orders/", "/orders/suppliers/"])
def test_lists_ask_the_same_number_of_queries_for_one_row_and_for_twenty(buyer, keys, address):
    one = len(queries_of(buyer, address))
    for _ in range(19):
        make_line(promised=timezone.localdate())
    assert len(queries_of(buyer, address)) == one


def test_the_list_of_orders_finds_by_fragments_and_shows_what_is_to_come(buyer):
    make_line(order=make_order(reference="AB 12/77"), promised=timezone.localdate())
    make_line(text="gasket")
    page = collapsed(buyer.get("/orders/?words=ab1277"))
    assert "AB 12/77" in page
    assert page.count('role="rowheader"') == 1
    assert collapsed(buyer.get("/orders/?open=no")).count('role="rowheader"') == 0


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("ab51277", {"AB 512/77"}),
        ("AB 512/77", {"AB 512/77"}),
        ("51277", {"AB 512/77", "CD 512/77"}),
        ("gasket 51277", {"CD 512/77"}),
        ("gasket ab51277", set()),
        ("61277", set()),
    ],
)
def test_an_order_is_found_by_all_of_a_number_and_not_by_its_end(buyer, words, found):
    make_line(order=make_order(reference="AB 512/77"))
    make_line(order=make_order(reference="CD 512/77"), text="gasket")
    page = collapsed(buyer.get("/orders/", {"words": words}))
    assert {reference for reference in ("AB 512/77", "CD 512/77") if f">{reference}<" in page} == found


def test_few_orders_that_hold_a_word_are_looked_for_once(buyer):
    make_line(order=make_order(reference="AB 12/77"), promised=timezone.localdate())
    looked_for = "MATCH" if connection.vendor == "sqlite" else " LIKE "
    asked = [sql for sql in queries_of(buyer, "/orders/?words=ab1277") if looked_for in sql]
    assert len(asked) == 1
    # SQLite's trigrams are asked for its end, and what they find for all of it.
    assert asked[0].count("ab1277") == 1, "in each shape once"


def test_a_chase_with_its_answer_and_next_day(buyer, keys):
    today = timezone.localdate()
    form = sent(on=today, how="phone", answer="next week", answered_on=today, ask_again_on=today + timedelta(days=7))
    buyer.post(f"/orders/{keys['order']}/chase/", form)
    page = collapsed(buyer.get(f"/orders/{keys['order']}/"))
    assert "next week" in page
    assert "ask again on" in page


def test_an_answer_needs_its_day(buyer, keys):
    form = sent(on=timezone.localdate(), how="phone", answer="next week", answered_on="", ask_again_on="")
    page = collapsed(buyer.post(f"/orders/{keys['order']}/chase/", form))
    assert "Give the day of the answer." in fault(page, "answered_on")


def test_a_day_without_an_answer_is_no_answer(buyer, keys):
    today = timezone.localdate()
    buyer.post(f"/orders/{keys['order']}/chase/", sent(on=today, how="mail", answer="", answered_on=today))
    assert not Chase.objects.latest("pk").is_answered


def test_asking_again_yesterday_is_refused(buyer, keys):
    today = timezone.localdate()
    form = sent(on=today, how="phone", answer="", answered_on="", ask_again_on=today - timedelta(days=1))
    page = collapsed(buyer.post(f"/orders/{keys['order']}/chase/", form))
    assert "when they were asked" in fault(page, "ask_again_on")


def test_a_second_supplier_of_one_name_is_refused(buyer):
    make_supplier(name="Nuvo Splines")
    form = sent(name="nuvo splines", contact="", email="", phone="", address="", account="", notes="")
    page = collapsed(buyer.post("/orders/suppliers/new/", form))
    assert "There is already a supplier of this name." in page
    assert Supplier.objects.count() == 1


def test_two_people_change_one_supplier_and_the_second_is_shown_both(buyer, keys):
    address = f"/orders/suppliers/{keys['supplier']}/edit/"
    blank = {"contact": "", "email": "", "address": "", "account": "", "notes": ""}
    buyer.post(address, {**blank, "name": "Nuvo", "phone": "1", "version": 1})
    page = collapsed(buyer.post(address, {**blank, "name": "Nuvo", "phone": "2", "version": 1}))
    assert "saved this" in page
    assert Supplier.objects.get(pk=keys["supplier"]).phone == "1"


def test_a_new_order_starts_with_the_shops_rate_and_the_form_shows_it(buyer, settings):
    settings.SHOP_TAX_PERCENT = Decimal("19")
    page = collapsed(buyer.get("/orders/new/"))
    assert 'value="19"' in re.search('<input[^>]*name="tax_percent"[^>]*>', page)[0]
    assert f"Price each, without tax, {settings.SHOP_CURRENCY}" in page


@pytest.mark.parametrize("typed", ["-1", "120", "a fifth"])
def test_a_rate_that_cannot_be_is_refused_beside_its_field(buyer, typed):
    order = make_order()
    sent = {"supplier": order.supplier_id, "ordered_on": "2026-03-02", "tax_percent": typed, "version": order.version}
    page = collapsed(buyer.post(f"/orders/{order.pk}/edit/", sent))
    assert fault(page, "tax_percent")
    assert typed in page


@pytest.fixture
def line(people):
    return make_line(order=make_order(ordered_on=timezone.localdate() - timedelta(days=40)))


def in_days(days):
    return timezone.localdate() + timedelta(days=days)


def test_how_far_it_slipped_and_how_long_nothing_was_heard_stand_beside_it(buyer, line):
    make_promise(line=line, latest=in_days(-20), given_on=in_days(-30))
    make_promise(line=line, latest=in_days(-6), given_on=in_days(-18))
    assert "14 days after the first promise; silent for 18 days" in collapsed(buyer.get(f"/orders/{line.order_id}/"))
    make_delivery(line=line, on=in_days(0))
    assert "silent for" not in collapsed(buyer.get(f"/orders/{line.order_id}/"))


@pytest.mark.parametrize(
    "address", ["orders/{order}/delivery/", "orders/{order}/promise/", "orders/{order}/chase/", "orders/{order}/line/",
                "orders/line/{line}/edit/", "orders/line/{line}/cancel/", "orders/line/{line}/return/",
                "orders/{order}/edit/", "orders/{order}/document/", "orders/{order}/letter/",
                "orders/chase/{chase}/edit/"]
)  # fmt: skip
def test_who_types_for_an_order_deleted_meanwhile_is_told_and_keeps_the_words(buyer, address):
    line = make_line()
    chase = make_chase(order=line.order)
    press(buyer, f"/orders/{line.order.pk}/delete/", reason="ordered twice")
    at = "/" + address.format(order=line.order.pk, line=line.pk, chase=chase.pk)
    told = buyer.post(at, {"note": "two came, one bent", "once": "a-mark-that-a-form-was-given-0001"})
    assert told.status_code == 404
    page = collapsed(told)
    assert "deleted this on" in page
    assert "ordered twice" in page
    assert "two came, one bent" in page
    assert "a-mark-that-a-form" not in page


def test_an_order_of_which_nothing_is_to_come_is_not_chased(buyer):
    line = make_line(quantity=2)
    acts = ("New date", "Record delivery", "Chase by mail", "Log a call")
    page = collapsed(buyer.get(f"/orders/{line.order_id}/"))
    assert [act for act in acts if f">{act}</a>" in page] == list(acts)
    make_delivery(line=line, quantity=2)
    page = collapsed(buyer.get(f"/orders/{line.order_id}/"))
    assert [act for act in acts if f">{act}</a>" in page] == ["Log a call"]


def test_what_was_approved_covers_no_more_than_it_came_to(owner, buyer):
    ApprovalLimit.objects.create(amount=500)
    order = make_line(price=Decimal(600)).order
    owner.post(f"/orders/{order.pk}/approve/", {"amount": "600"})
    make_line(order=order, price=Decimal(50))
    assert "It was approved up to" in collapsed(buyer.get(order.get_absolute_url()))
    told = collapsed(owner.post(f"/orders/{order.pk}/approve/", {"amount": "600"}, follow=True))
    assert "650.00 now, not what you looked at" in told
    assert Order.objects.get(pk=order.pk).approved_amount == 600


def test_blank_lines_are_folded_behind_the_last_that_was_filled_in(buyer):
    fresh = collapsed(buyer.get("/orders/new/"))
    assert fresh.index("Line 1</legend>") < fresh.index('class="grounds more-lines"') < fresh.index("Line 2</legend>")
    typed = {"lines-TOTAL_FORMS": "5", "lines-INITIAL_FORMS": "0", "lines-1-text": "dowel"}
    typed |= {f"lines-{at}-quantity": "1" for at in range(5)}  # as a browser sends what it was shown
    again = collapsed(buyer.post("/orders/new/", typed))
    assert again.index("Line 2</legend>") < again.index('class="grounds more-lines"') < again.index("Line 3</legend>")


def test_an_order_that_somebody_answered_to_is_not_offered_to_be_sent(buyer):
    """A letter may have gone by telephone: who names a number, a date or a reason has the order."""
    silent, numbered, dated, asked = (make_line() for _ in range(4))
    Order.objects.filter(pk=numbered.order_id).update(reference="FE-26236")
    make_promise(line=dated, latest=dated.order.ordered_on)
    make_chase(order=asked.order)
    offered = {
        line.order_id: ">Send order</a>" in collapsed(buyer.get(f"/orders/{line.order_id}/"))
        for line in (silent, numbered, dated, asked)
    }
    assert list(offered.values()) == [True, False, False, False]


def test_the_first_act_of_an_order_is_what_it_needs_next(buyer):
    """To be sent, then asked about where it is late, else to be received."""
    today = timezone.localdate()
    first = re.compile(r'<(?:a class="button"|button name="all" value="yes")[^>]*>([^<]+)<')
    due, late = make_line(promised=today + timedelta(days=3)), make_line(promised=today - timedelta(days=3))
    acts = [first.findall(collapsed(buyer.get(f"/orders/{line.order_id}/")))[0] for line in (make_line(), due, late)]
    assert acts == ["Send order", "All of it came", "Chase by mail"]


def test_the_list_of_orders_says_which_are_overdue_and_which_have_no_date(buyer):
    today = timezone.localdate()
    dated, undated, here = make_line(), make_line(), make_line()
    make_promise(line=dated, latest=today - timedelta(days=3))
    make_delivery(line=here, quantity=here.quantity)
    told = dict(re.findall(r">([\d-]+)</a></th>(.*?)</tr>", collapsed(buyer.get("/orders/"))))
    assert "3 days overdue" in told[str(dated.order)]
    assert "no date given" in told[str(undated.order)]
    assert "overdue" not in told[str(here.order)] + told[str(undated.order)]
    assert "no date given" not in told[str(here.order)]


def test_a_date_given_for_all_lines_is_told_once(buyer):
    order = make_order()
    for text in ("ring gear", "starter"):
        make_promise(line=make_line(order=order, text=text), latest=date(2031, 5, 2), given_on=order.ordered_on)
    page = words_of(buyer.get(order.get_absolute_url()))
    assert "New date, all 2 lines: 2 May 2031." in page
