"""What the rules read of lines is read by questions that are kept in SQL: it is what Django's prefetching finds."""

import pickle
from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.orders.models import OrderLine, Promise
from specs.row_queries import OfKeys
from tests.factories.orders import make_chase, make_delivery, make_line, make_order, make_promise

pytestmark = pytest.mark.django_db

SAID = ("promises", "deliveries", "returns", "cancellations")


@pytest.fixture
def lines():
    """Two lines of one order and one of another: dated, delivered, and nothing said of it."""
    order = make_order(ordered_on=date(2026, 1, 5))
    dated, came = make_line(order=order), make_line(order=order)
    for day in (20, 10):
        make_promise(line=dated, given_on=date(2026, 1, day), earliest=date(2026, 3, day), latest=date(2026, 3, day))
    make_delivery(line=came, on=date(2026, 2, 1), quantity="0.5")
    make_chase(order=order, on=date(2026, 1, 30), answered_on=date(2026, 1, 31), answer="soon")
    return dated, came, make_line()


def prefetched():
    rows = OrderLine.objects.select_related("order__supplier", "component").order_by("pk")
    return list(rows.prefetch_related(*SAID, "order__chases"))


def test_facts_are_those_that_django_prefetches(lines):
    found = list(OrderLine.objects.with_facts().order_by("pk"))
    for line, other in zip(found, prefetched(), strict=True):
        assert line.as_rule() == other.as_rule()
        assert all(list(getattr(line, name).all()) == list(getattr(other, name).all()) for name in SAID)
        assert list(line.order.chases.all()) == list(other.order.chases.all())
        assert all(one.line is line for one in line.promises.all())


def test_facts_take_six_questions_for_any_number_of_lines(lines, django_assert_num_queries):
    for keys in ([lines[0].pk], [line.pk for line in lines]):
        with django_assert_num_queries(6):
            [line.as_rule() for line in OrderLine.objects.filter(pk__in=keys).with_facts()]


def test_what_else_is_asked_of_related_rows_is_asked_of_this_record_alone(lines):
    dated, came, _ = OrderLine.objects.with_facts().order_by("pk")
    make_promise(line=came, given_on=date(2026, 2, 2), earliest=date(2026, 4, 1), latest=date(2026, 4, 1))
    asked = dated.promises.filter(given_on__gte=date(2026, 1, 15))
    assert [promise.given_on for promise in asked] == [date(2026, 1, 20)]
    assert dated.promises.count() == 2
    assert not came.promises.exists(), "what was read stands, as it does where Django prefetched it"


def test_lines_with_their_facts_are_such_as_are_kept(lines):
    found = list(OrderLine.objects.with_facts().order_by("pk"))
    kept = pickle.loads(pickle.dumps(found))
    assert [line.as_rule() for line in kept] == [line.as_rule() for line in found]
    assert kept[0].promises.filter(pk__gt=0).count() == 2


def test_of_more_keys_than_a_database_takes_at_once_it_is_asked_in_parts(lines, monkeypatch):
    monkeypatch.setattr(OfKeys, "AT_ONCE", 2)
    asked = OfKeys(lambda keys: OrderLine.objects.filter(pk__in=keys))
    with CaptureQueriesContext(connection) as parts:
        found = asked(line.pk for line in lines)
    assert sorted(line.pk for line in found) == sorted(line.pk for line in lines)
    assert len(parts) == 2


def test_a_question_of_keys_is_put_into_sql_once_for_each_number_of_them(lines, monkeypatch):
    put = []

    def question(keys):
        put.append(len(keys))
        return Promise.objects.filter(line__in=keys, deleted_at=None)

    asked, keys = OfKeys(question), [line.pk for line in lines]
    assert [promise.line_id for promise in asked(keys)] == [lines[0].pk] * 2
    assert asked(keys[1:]) == []
    assert asked(keys[:2]) == list(Promise.objects.filter(line__in=keys[:2])), "the second of two keys is no other"
    assert put == [3, 2]
    with connection.execute_wrapper(lambda *given: pytest.fail("asked of no keys")):
        assert asked([]) == []
