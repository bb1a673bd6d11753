"""A supplier's record read from the shop's orders, and shown with the number it rests on."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.delivery_history import USUAL_LEAD_WITHOUT_RECORD, history
from shop.orders.models import Cancellation, Supplier
from tests.factories.jobs import make_part_need
from tests.factories.orders import make_delivery, make_line, make_order, make_promise, make_supplier
from tests.pages import collapsed, press
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def day(offset):
    return timezone.localdate() + timedelta(days=offset)


def make_past(supplier, late, promised=-50, **changes):
    """An order first promised 50 days ago, here so many days late (None: still open)."""
    order = make_order(supplier=supplier, ordered_on=day(-90))
    line = make_line(order=order, promised=day(promised), **changes)
    if late is not None:
        make_delivery(line=line, on=day(promised + late))
    return line


def days_late(supplier):
    return [(past.days_late, past.arrived) for past in history(day(0)).record(supplier.pk).own]


def test_days_late_count_from_the_first_promise_not_the_last():
    supplier = make_supplier()
    line = make_past(supplier, 12)
    make_promise(line=line, latest=day(-38), given_on=day(-55))
    assert days_late(supplier) == [(12, True)]


def test_an_open_order_counts_as_at_least_as_late_as_today():
    supplier = make_supplier()
    make_past(supplier, None)
    assert days_late(supplier) == [(50, False)]


def test_an_order_counts_once_by_the_last_of_its_lines():
    supplier = make_supplier()
    line = make_past(supplier, 3)
    make_delivery(line=make_line(order=line.order, promised=day(-50)), on=day(-30))
    assert days_late(supplier) == [(20, True)]


def test_an_order_in_part_is_still_open():
    supplier = make_supplier()
    line = make_past(supplier, None, quantity=Decimal(8))
    make_delivery(line=line, on=day(-49), quantity=Decimal(5))
    assert days_late(supplier) == [(50, False)]


def test_a_cancelled_order_is_known_to_be_later_than_its_last_day():
    supplier = make_supplier()
    line = make_past(supplier, None)
    gone = {"on": day(-20), "quantity": 1, "reason": "found elsewhere", "recorded_by": line.order.ordered_by}
    Cancellation.objects.create(line=line, **gone)
    assert days_late(supplier) == [(30, False)]


def test_an_order_never_promised_for_a_day_counts_from_the_usual_day():
    supplier = make_supplier()
    make_line(order=make_order(supplier=supplier, ordered_on=day(-90)))
    assert days_late(supplier) == [(90 - USUAL_LEAD_WITHOUT_RECORD, False)]
    make_line(order=make_order(ordered_on=day(-100)), promised=day(-80))
    assert days_late(supplier) == [(90 - 20, False)], "as long as the other was promised in"


def test_the_page_shows_share_numbers_and_weights(buyer):
    supplier = make_supplier(name="Olmstead Castings")
    for late in (0, 0, 5, 20, None):
        make_past(supplier, late)
    make_past(make_supplier(), 1)
    page = collapsed(buyer.get(f"/orders/suppliers/{supplier.pk}/"))
    assert "2 of 5 orders, 40 %" in page
    assert "From 4 arrived and 1 open" in page
    assert "within what the 6 orders of all suppliers make likely" in page
    assert "<svg" in page
    assert "style=" not in page


def test_a_supplier_without_orders_has_a_page(buyer):
    page = collapsed(buyer.get(f"/orders/suppliers/{make_supplier().pk}/"))
    assert "No order from here has been promised for a day yet." in page
    assert page.count("not known: no order has come yet") == 2
    assert "later than 0 days" not in page


def test_an_address_that_is_none_is_told_by_an_example(buyer):
    page = collapsed(press(buyer, "/orders/suppliers/new/", name="Norrow", email="not-a-mail"))
    assert "Type one address, such as sales@firm.example." in page


def test_the_page_asks_the_same_number_of_queries_for_any_history(buyer):
    supplier = make_supplier()
    make_past(supplier, None)
    address = f"/orders/suppliers/{supplier.pk}/"
    one = len(queries_of(buyer, address))
    for late in range(10):
        make_past(supplier, late)
        make_past(supplier, None)
    assert len(queries_of(buyer, address)) == one


def test_a_supplier_is_added_edited_and_deleted_with_a_reason(buyer):
    press(buyer, "/orders/suppliers/new/", name="Nuvo Bearings", phone="+44 1632 960 140")
    supplier = Supplier.objects.get(name="Nuvo Bearings")
    press(buyer, f"/orders/suppliers/{supplier.pk}/edit/", name="Nuvo Bearings and Seals")
    assert "Nuvo Bearings and Seals" in collapsed(buyer.get("/orders/suppliers/"))
    press(buyer, f"/orders/suppliers/{supplier.pk}/delete/", reason="entered twice")
    supplier.refresh_from_db()
    assert supplier.deleted_reason == "entered twice"
    assert ">Nuvo Bearings and Seals</a>" not in collapsed(buyer.get("/orders/suppliers/"))


@pytest.mark.parametrize(("address", "make"), [("/orders/", make_order), ("/orders/suppliers/", make_supplier)])
def test_deleted_ones_are_found_by_the_filter_only(buyer, people, address, make):
    record = make()
    record.deleted_at, record.deleted_by, record.deleted_reason = timezone.now(), people["buyer"], "recorded twice"
    record.save()
    assert "recorded twice" not in collapsed(buyer.get(address))
    found = collapsed(buyer.get(f"{address}?show=deleted"))
    assert "recorded twice" in found
    assert "Undo" in found


def test_before_a_supplier_goes_the_page_says_what_is_still_to_come_from_it(buyer):
    line = make_line(text="ring gear")
    page = collapsed(buyer.get(f"/orders/suppliers/{line.order.supplier.pk}/delete/"))
    assert f"Still to come from them: 1 line: ring gear, order {line.order}." in page
    nothing = collapsed(buyer.get(f"/orders/suppliers/{make_supplier().pk}/delete/"))
    assert "Still to come" not in nothing


def test_before_an_order_goes_the_page_says_whose_job_waits(buyer):
    need = make_part_need(text="clutch kit")
    line = make_line(part_need=need)
    page = collapsed(buyer.get(f"/orders/{line.order.pk}/delete/"))
    assert "Still to come on this order: 1 line" in page
    assert f"for {need.step.job.vehicle}" in page


def test_before_an_order_that_came_goes_the_page_says_which_deliveries_would_not_count(buyer):
    delivery = make_delivery(line=make_line())
    page = collapsed(buyer.get(f"/orders/{delivery.line.order.pk}/delete/"))
    assert "Deliveries recorded on it, which would no longer count: 1." in page


def test_what_is_to_come_is_a_row_each_before_the_record_with_the_way_to_ask(buyer, fitter):
    late = make_past(make_supplier(name="Quarry Clutch"), None, text="ring gear")
    make_promise(line=late, latest=day(-3), given_on=day(-20))
    at = late.order.supplier.get_absolute_url()
    page = collapsed(buyer.get(at))
    assert "3 days <small>late, second date</small>" in page
    assert f"order {late.order} · for the shelf" in page
    assert f'href="/orders/{late.order_id}/chase/">Chase' in page
    assert page.index("Still to come") < page.index("Delivery record")
    assert f"/orders/{late.order_id}/chase/" not in collapsed(fitter.get(at))
