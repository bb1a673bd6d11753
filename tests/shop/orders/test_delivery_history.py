"""What a process keeps of suppliers' orders is what it would read from nothing, whatever happened meanwhile."""

from __future__ import annotations

from collections import Counter
from statistics import median

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shop.orders import changes, delivery_history
from shop.orders.models import Order, OrderLine, Supplier
from tests.factories.orders import make_delivery, make_line, make_supplier
from tests.shop.orders.test_line_status import HAPPENINGS, TODAY, History

pytestmark = pytest.mark.django_db

MOVES = st.one_of(HAPPENINGS, st.tuples(st.just("other supplier")), st.tuples(st.just("edit supplier")))


def from_nothing() -> delivery_history.History:
    delivery_history._history.cache_clear()
    delivery_history._kept.clear()
    return delivery_history.history(TODAY)


def by_hand() -> list[tuple[int, int, bool, bool]]:
    """Of each order: supplier, days late, whether it arrived, whether a day was promised; lines read one by one."""
    orders: dict[int, list[OrderLine]] = {}
    for line in OrderLine.objects.active().select_related("order"):
        orders.setdefault(line.order_id, []).append(line)
    leads, found = {}, []
    for key, lines in orders.items():
        promised = [line.first_promised for line in lines if line.first_promised]
        leads[key] = (max(promised) - lines[0].order.ordered_on).days if promised else None
    dated = [lead for lead in leads.values() if lead is not None]
    usual = round(median(dated)) if dated else delivery_history.USUAL_LEAD_WITHOUT_RECORD
    for key, lines in orders.items():
        order, lead = lines[0].order, usual if leads[key] is None else leads[key]
        came = [line.came_on for line in lines if line.came_on]
        cancelled = [line.cancelled_on for line in lines if line.cancelled_on]
        is_open = any(line.awaited for line in lines)
        ended = TODAY if is_open else max(came) if came else max(cancelled, default=TODAY)
        late = (ended - order.ordered_on).days - lead
        found.append((order.supplier_id, late, bool(came) and not is_open, leads[key] is not None))
    return sorted(found)


def assert_kept_is_right() -> None:
    kept = delivery_history.history(TODAY)
    assert kept == from_nothing()
    told = [
        (key, one.days_late, one.arrived, one.was_dated) for key, orders in kept.by_supplier.items() for one in orders
    ]
    assert sorted(told) == by_hand()


@given(st.lists(st.integers(-30, 400), min_size=1))
def test_the_median_of_counted_leads_is_that_of_all(leads):
    assert delivery_history._median(Counter(leads)) == round(median(leads))


def move(history: History, other: Supplier, read_before: Supplier, what: str, facts: list) -> None:
    """Do what was drawn; an order may also go to another supplier, and a supplier be saved from an old reading."""
    if what == "other supplier":
        order = Order.objects.get(pk=history.order.pk)
        order.supplier = other if order.supplier_id != other.pk else read_before
        changes.change_order(order=order, person=history.person, today=TODAY)
    elif what == "edit supplier":
        read_before.phone = f"{read_before.phone[-30:]}1"
        changes.save_supplier(supplier=read_before, person=history.person)
    else:
        history.happen(what, *facts)


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(MOVES, max_size=10))
def test_what_is_kept_is_what_is_read_from_nothing(db, moves):
    history, other = History(), make_supplier()
    read_before = history.order.supplier
    assert_kept_is_right()
    for what, *facts in moves:
        try:
            move(history, other, read_before, what, facts)
        except ValidationError:
            continue
        finally:
            assert_kept_is_right()


def test_what_was_read_in_a_transaction_that_was_rolled_back_is_never_told_again():
    line = make_line(promised=TODAY)
    try:
        with transaction.atomic():
            make_delivery(line=line, on=TODAY)
            (told,) = delivery_history.history(TODAY).record(line.order.supplier_id).own
            assert told.arrived
            raise InterruptedError
    except InterruptedError:
        pass
    (told,) = delivery_history.history(TODAY).record(line.order.supplier_id).own
    assert not told.arrived


def test_a_supplier_whose_orders_did_not_change_is_not_read_again(django_assert_num_queries):
    line, other = make_line(promised=TODAY), make_line(promised=TODAY)
    delivery_history.history(TODAY)
    with django_assert_num_queries(1):  # the marks
        delivery_history.history(TODAY)
    make_delivery(line=line, on=TODAY)
    with django_assert_num_queries(2) as captured:  # the marks, and the lines of one supplier
        delivery_history.history(TODAY)
    assert f"IN ({line.order.supplier_id})" in captured[1]["sql"]
    assert other.order.supplier_id != line.order.supplier_id


def test_a_supplier_saved_from_an_old_reading_does_not_bring_back_what_was_kept_then():
    line = make_line(promised=TODAY)
    read_before = Supplier.objects.get(pk=line.order.supplier_id)
    delivery_history.history(TODAY)
    make_delivery(line=line, on=TODAY)
    read_before.save()
    (told,) = delivery_history.history(TODAY).record(read_before.pk).own
    assert told.arrived
