"""What has to be ordered: over all jobs, what nobody ordered yet, and two presses to an order."""

from datetime import date
from decimal import Decimal

import pytest

from shop.orders.models import Order
from shop.orders.to_order import missing_parts
from tests.factories.jobs import make_job, make_part_need, make_step
from tests.factories.measuring import make_component
from tests.factories.orders import PLACED, make_line, make_order, make_supplier
from tests.pages import collapsed
from tests.queries import queries_of
from tests.shop.orders.forms import sent
from tests.shop.orders.test_order_new import form

pytestmark = pytest.mark.django_db


def need_of(wanted_by=None, **changes):
    return make_part_need(step=make_step(job=make_job(wanted_by=wanted_by)), **changes)


def test_what_is_here_or_on_order_is_not_offered_again():
    ordered, half = need_of(), need_of(quantity=Decimal(4))
    make_line(part_need=ordered)
    make_line(part_need=half, quantity=Decimal(1), came=PLACED)
    here, done = need_of(here_on=PLACED), need_of()
    done.step.finished_at, done.step.finished_by = "2026-03-01T10:00Z", make_order().ordered_by
    done.step.save()
    assert [(part.need, part.missing) for part in missing_parts()] == [(half, Decimal(3))]
    assert here.pk


def test_what_never_came_has_to_be_ordered_again():
    need = need_of()
    line = make_line(part_need=need)
    line.order.deleted_at, line.order.deleted_by, line.order.deleted_reason = (
        "2026-03-04T10:00Z",
        line.order.ordered_by,
        "x",
    )
    line.order.save()
    assert [part.need for part in missing_parts()] == [need]


def test_another_part_that_came_instead_leaves_the_needed_one_to_order():
    clutch = make_component()
    need = need_of(component=clutch, text="")
    make_line(part_need=need, component=make_component(), came=PLACED)
    assert [part.need for part in missing_parts()] == [need]


def test_the_vehicle_that_is_wanted_first_stands_first():
    late, soon, never = need_of(date(2026, 9, 1)), need_of(date(2026, 5, 1)), need_of()
    assert [part.need for part in missing_parts()] == [soon, late, never]


def test_ticked_parts_fill_an_order_from_who_had_them_last(buyer):
    clutch, seller = make_component(), make_supplier(name="Quarry Clutch")
    make_line(component=clutch, order=make_order(supplier=seller), price=Decimal("212.50"), came=PLACED)
    need = need_of(component=clutch, text="", quantity=Decimal(2))
    listed = collapsed(buyer.get("/planning/to-order/"))
    assert "last from Quarry Clutch" in listed
    assert "212.50" in listed
    page = collapsed(buyer.get(f"/orders/new/?need={need.pk}&supplier="))
    assert f'<option value="{seller.pk}" selected>Quarry Clutch' in page
    assert f'<option value="{need.pk}" selected>' in page
    assert 'name="lines-0-price" value="212.50"' in page
    assert 'name="lines-0-quantity" value="2' in page


def test_a_part_on_order_is_ordered_twice_only_on_purpose(buyer):
    need = make_part_need()
    make_line(part_need=need)
    line = {"text": "clutch kit", "price": "180", "part_need": need.pk}
    page = collapsed(buyer.post("/orders/new/", form(line)))
    assert "1 on order or here already" in page
    assert 'type="checkbox" name="lines-0-again"' in page
    assert Order.objects.count() == 1
    assert buyer.post("/orders/new/", form({**line, "again": "on"})).status_code == 302
    assert need.order_lines.count() == 2


def test_changing_a_line_does_not_ask_about_its_own_need(buyer):
    line = make_line(part_need=make_part_need())
    typed = {"component": "", "text": "clutch kit", "quantity": "1", "price": "99", "part_need": line.part_need_id}
    assert buyer.post(f"/orders/line/{line.pk}/edit/", sent(**typed, version=line.version)).status_code == 302


def test_prices_are_for_those_who_may_see_them(fitter):
    clutch = make_component()
    make_line(component=clutch, price=Decimal("212.50"))
    need_of(component=clutch, text="")
    page = collapsed(fitter.get("/planning/to-order/"))
    assert str(clutch) in page
    assert "212.50" not in page


def test_a_long_list_costs_no_more_queries(buyer):
    def add() -> None:
        make_line(component=(part := make_component()))
        need_of(component=part, text="")

    add()
    few = len(queries_of(buyer, "/planning/to-order/"))
    for _ in range(12):
        add()
    assert len(queries_of(buyer, "/planning/to-order/")) == few
