"""What has to be ordered: over all jobs, what nobody ordered yet, and two presses to an order."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.models import Order
from shop.orders.to_order import missing_parts, short_parts
from tests.factories.jobs import make_job, make_part_need, make_step
from tests.factories.measuring import make_component
from tests.factories.orders import PLACED, make_line, make_order, make_supplier
from tests.factories.stock import make_part
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


def test_a_step_and_a_job_lead_to_the_order_in_one_press(buyer):
    clutch = make_component()
    part, need = make_part(component=clutch, shelf=2), need_of(component=clutch, text="")
    other = need_of()
    step = collapsed(buyer.get(need.step.get_absolute_url()))
    assert f"/orders/new/?need={need.pk}" in step
    assert f"/stock/{part.pk}/take/?need={need.pk}" in step
    job = need.step.job
    assert f"/planning/to-order/?job={job.pk}" in collapsed(buyer.get(job.get_absolute_url()))
    listed = collapsed(buyer.get(f"/planning/to-order/?job={job.pk}"))
    assert f'value="{need.pk}"' in listed
    assert f'value="{other.pk}" id="need' not in listed
    assert "1 on the shelf and free" in listed
    make_line(part_need=need)
    assert f"/orders/new/?need={need.pk}" not in collapsed(buyer.get(need.step.get_absolute_url()))


def test_what_is_short_on_the_shelf_is_ordered_in_whole_packs(buyer):
    part = make_part(shelf=3, minimum=Decimal(8), pack=Decimal(10))
    make_part(shelf=8, minimum=Decimal(8))
    make_line(part=make_part(minimum=Decimal(1)))
    assert [(one.part, one.to_buy) for one in short_parts()] == [(part, Decimal(10))]
    page = collapsed(buyer.get(f"/orders/new/?part={part.pk}&supplier="))
    assert f'name="lines-0-number" value="{part.number}"' in page
    assert 'name="lines-0-quantity" value="10' in page


def test_the_day_to_order_by_counts_work_and_supplier_back_from_the_day_wanted(buyer):
    today = timezone.localdate()
    clutch, seller = make_component(), make_supplier(name="Quarry Clutch", delivery_days=10)
    for days in (400, 300, 200, 100):
        placed = today - timedelta(days=days)
        order = make_order(supplier=seller, ordered_on=placed)
        make_line(component=clutch, order=order, promised=placed + timedelta(days=10), came=placed + timedelta(days=12))
    soon = need_of(today + timedelta(days=3), component=clutch, text="")
    later = need_of(today + timedelta(days=300), component=clutch, text="")
    need_of(component=clutch, text="")
    answer = buyer.get("/planning/to-order/")
    assert "1 is past its day to order." in collapsed(answer)
    rows = {row.part.need: row for row in answer.context["parts"]}
    assert rows[soon].is_late
    assert not rows[later].is_late
    lead = (later.step.job.wanted_by - rows[later].order_by.day).days
    assert lead >= 10, rows[later].order_by
    assert "no day wanted" in [row.order_by.grounds for row in rows.values()]
