"""A record that was read is the record that Django would have made of its row."""

import pytest
from django.db import models
from django.db.models.signals import post_init, pre_init

from shop.orders.models import Order
from tests.factories.orders import make_order

pytestmark = pytest.mark.django_db


def as_django_reads(row: models.Model) -> models.Model:
    names = [field.attname for field in row._meta.concrete_fields]
    return models.Model.from_db.__func__(type(row), row._state.db, names, [getattr(row, name) for name in names])


def test_a_record_is_made_of_its_row_as_django_makes_it() -> None:
    made = make_order()
    read = Order.objects.get(pk=made.pk)
    expected = as_django_reads(read)
    shown, wanted = dict(read.__dict__), dict(expected.__dict__)
    states = [one.pop("_state") for one in (shown, wanted)]
    assert shown == wanted
    assert {(state.adding, state.db) for state in states} == {(False, "default")}
    read.reference = "R-17"
    read.save()
    assert Order.objects.get(pk=made.pk).reference == "R-17"


def test_what_was_not_read_of_a_row_is_fetched_when_it_is_asked_for(django_assert_num_queries) -> None:
    made = make_order(reference="R-17")
    read = Order.objects.defer("reference").get(pk=made.pk)
    assert read.get_deferred_fields() == {"reference"}
    with django_assert_num_queries(1):
        assert read.reference == "R-17"
    with django_assert_num_queries(1):
        assert read.supplier == made.supplier


def test_nobody_hears_that_a_record_is_made() -> None:
    """Else it would have to be told of records that are read, which is what takes the time."""
    assert not pre_init.receivers
    assert not post_init.receivers
