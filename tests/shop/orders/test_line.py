"""Pages of one order line: adding it, editing it, also one that is bought for a step."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.jobs.changes.work import finish
from shop.orders.models import OrderLine
from tests.factories.jobs import make_part_need, make_step
from tests.factories.orders import make_delivery, make_line, make_order
from tests.pages import collapsed, press
from tests.shop.orders.forms import fault

pytestmark = pytest.mark.django_db


TOO_LARGE_A_KEY = 2**63
"""Databases hold whole numbers of 64 bits with a sign; one more is no key of any record."""


@pytest.fixture
def step_line(people):
    return make_line(part_need=make_part_need(text="clutch kit"))


def typed(line, **changes):
    fields = {"component": "", "text": line.text, "quantity": "1", "price": "10", "part_need": line.part_need_id}
    return {**fields, **changes}


def test_a_line_is_added_to_an_order(buyer, people):
    order = make_order(ordered_on=timezone.localdate() - timedelta(days=9))
    press(buyer, f"/orders/{order.pk}/line/", component="", text="gasket", quantity="2", price="3", part_need="")
    assert [line.text for line in order.lines.all()] == ["gasket"]


def test_a_line_bought_for_a_step_can_be_edited(buyer, step_line):
    address = f"/orders/line/{step_line.pk}/edit/"
    page = buyer.get(address)
    assert page.status_code == 200
    assert f'value="{step_line.part_need_id}" selected' in collapsed(page)
    press(buyer, address, **typed(step_line, price="12.50"))
    step_line.refresh_from_db()
    assert (str(step_line.price), step_line.part_need_id) == ("12.50", step_line.part_need.pk)


def test_its_step_stays_choosable_when_it_was_finished_meanwhile(buyer, people, step_line):
    make_delivery(line=step_line)
    finish(step_line.part_need.step, person=people["fitter"], now=timezone.now())
    assert f'value="{step_line.part_need_id}" selected' in collapsed(buyer.get(f"/orders/line/{step_line.pk}/edit/"))
    other = make_part_need(step=make_step(title="Finished"), text="hose")
    make_delivery(line=make_line(part_need=other))
    finish(other.step, person=people["fitter"], now=timezone.now())
    assert f'value="{other.pk}"' not in collapsed(buyer.get(f"/orders/line/{step_line.pk}/edit/"))


def test_a_key_larger_than_any_is_no_choice(buyer, step_line):
    address = f"/orders/line/{step_line.pk}/edit/"
    for field in ("part_need", "component"):
        page = press(buyer, address, **typed(step_line, **{field: TOO_LARGE_A_KEY}))
        assert page.status_code == 200
        assert "This is not in the list any more. Choose again." in collapsed(page)
    assert OrderLine.objects.get().version == step_line.version


@pytest.fixture
def line(people):
    order = make_order(ordered_on=timezone.localdate() - timedelta(days=40))
    return make_line(order=order, text="flywheel bolts", quantity=Decimal(8))


def test_a_line_cannot_shrink_below_what_came(buyer, line):
    make_delivery(line=line, quantity=Decimal(5))
    form = {"version": 1, "text": line.text, "component": "", "quantity": "4", "price": "1", "part_need": ""}
    page = collapsed(buyer.post(f"/orders/line/{line.pk}/edit/", form))
    assert "5 have come or were cancelled already." in fault(page, "quantity")
