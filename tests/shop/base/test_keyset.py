"""A place in a list is named by what its order reads of a row, and found again whatever the column holds."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest
from django.http import QueryDict

from shop.base.keyset import beside, read_place, sort_keys, written_place
from shop.orders.models import Order, OrderLine
from specs.models import Component, Measurement
from tests.factories.measuring import make_dimension, make_reading
from tests.factories.orders import make_line, make_order

pytestmark = pytest.mark.django_db

MIDNIGHT = datetime(2026, 3, 2, tzinfo=UTC)


def sent(words: list[str]) -> list[str]:
    """What comes back of an address."""
    query = QueryDict(mutable=True)
    query.setlist("after", words)
    return QueryDict(query.urlencode()).getlist("after")


def walked(rows) -> list[int]:
    """The keys of all rows, gone through two at a time by what an address says."""
    keys, seen, found = sort_keys(rows), [], rows
    paths = [key.path for key in keys]
    while places := list(found.values_list(*paths)[:2]):
        seen += [place[-1] for place in places]
        found = beside(rows, keys, read_place(keys, sent(written_place(places[-1]))), onward=True)
    return seen


@pytest.mark.parametrize("order", ["recorded_at", "-recorded_at", "value", "-value", "typed", "-measured_on"])
def test_rows_are_gone_through_in_any_order_of_moments_figures_words_and_days(order: str) -> None:
    dimension = make_dimension()
    for at in range(9):
        one = make_reading(dimension=dimension, measured_on=date(2026, 3, 1 + at % 3))
        told = {"value": 0.1 + at % 4 / 3, "typed": ("é & +", "", "a b")[at % 3]}
        Measurement.objects.filter(pk=one.pk).update(
            recorded_at=MIDNIGHT + timedelta(microseconds=at // 2 * 999_999), **told
        )
    for last in ("pk", "-pk"):
        rows = Measurement.objects.order_by(order, last)
        assert walked(rows) == list(rows.values_list("pk", flat=True))
        rows = Measurement.objects.order_by("dimension__component__name", order, last)
        assert walked(rows) == list(rows.values_list("pk", flat=True))


def test_rows_are_gone_through_in_an_order_of_amounts_and_of_what_they_belong_to() -> None:
    for at in range(7):
        make_line(price=Decimal("0.10") * (1 + at % 3), order=make_order(number=f"A{at % 2}-{at}"))
    for order in (("-price", "pk"), ("price", "-order__supplier__name", "order__number", "-pk")):
        rows = OrderLine.objects.order_by(*order)
        assert walked(rows) == list(rows.values_list("pk", flat=True))


@pytest.mark.parametrize(
    "rows",
    [
        Component.objects.all(),
        Component.objects.order_by("?"),
        Component.objects.order_by("name"),
        Measurement.objects.order_by("dimension", "pk"),  # which means in the order of dimensions
        Measurement.objects.order_by("deleted_at", "pk"),
        Measurement.objects.order_by("specimen__serial", "pk"),
        OrderLine.objects.order_by("order__number__lower", "pk"),
        Order.objects.order_by("lines__position", "pk"),
    ],
)
def test_an_order_that_names_no_place_is_known(rows) -> None:
    assert sort_keys(rows) == ()


def test_an_order_counts_up_to_the_key_and_no_further() -> None:
    assert [key.path for key in sort_keys(Order.objects.order_by("-ordered_on", "-pk", "pk"))] == ["ordered_on", "pk"]


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["1"],
        ["2026-03-02T00:00:00+00:00"],
        ["2026-03-02T00:00:00+00:00", "x"],
        ["2026-03-02T00:00:00+00:00", ""],
        ["2026-03-02T00:00:00", "1"],  # of no time zone
        ["0001-01-01T00:00:00+14:00", "1"],
        ["2026-03-02T00:00:00+00:00", "9" * 5000],
        ["2026-03-02T00:00:00+00:00", "1", "1"],
    ],
)
def test_words_that_name_no_place_are_none(words: list[str]) -> None:
    assert read_place(sort_keys(Measurement.objects.order_by("recorded_at", "pk")), words) is None


@pytest.mark.parametrize("price", ["nan", "1e999999", "Infinity", "1" * 400, "0.0000001"])
def test_a_figure_that_the_column_cannot_hold_names_no_place(price: str) -> None:
    assert read_place(sort_keys(OrderLine.objects.order_by("price", "pk")), [price, "1"]) is None


def test_a_key_that_no_database_holds_is_a_place_behind_all_rows() -> None:
    make_reading()
    rows = Measurement.objects.order_by("pk")
    keys = sort_keys(rows)
    place = read_place(keys, ["9" * 30])
    assert not beside(rows, keys, place, onward=True).exists()
    assert beside(rows, keys, place, onward=False).count() == 1
