"""Bringing in a price list and the opening stock: checked by row and column, written once, parts added."""

from decimal import Decimal

import pytest

from shop.orders.models import ListPrice, SupplierNumber
from shop.stock.models import Movement, Part
from tests.factories.orders import PLACED, make_supplier
from tests.factories.stock import make_part
from tests.pages import collapsed

pytestmark = pytest.mark.django_db

PRICES, STOCK = "/orders/parts/import-prices/", "/orders/parts/import-stock/"
LIST = "number\tname\tsupplier number\tprice\tpack\n4711\trelease bearing\tQC 10\t12,40\t\n4712\those\tQC 11\t8\t5\n"
SHELF = "number;name;counted;place;minimum\n4711;release bearing;7;bin B3;2\n4712;hose;0;;\n"


def bring(client, address, text, **typed):
    return collapsed(client.post(address, {"on": PLACED.isoformat(), "text": text, **typed}, follow=True))


def prices(client, text, seller, **typed):
    return bring(client, PRICES, text, supplier=seller.pk, currency="", note="spring", **typed)


def test_a_price_list_is_looked_at_and_then_written_once(buyer):
    seller, known = make_supplier(), make_part(number="4711", name="release bearing")
    assert "2 rows, 1 new part." in prices(buyer, LIST, seller, look="yes")
    assert ListPrice.objects.count() == 0
    assert "2 rows were brought in, 0 left alone" in prices(buyer, LIST, seller, write="yes")
    assert "0 rows were brought in, 2 left alone" in prices(buyer, LIST, seller, write="yes")
    hose = Part.objects.get(number="4712")
    assert [(price.part, price.price) for price in ListPrice.objects.order_by("pk")] == [
        (known, Decimal("12.40")),
        (hose, Decimal(8)),
    ]
    assert (hose.pack, SupplierNumber.objects.get(part=known).number) == (5, "QC 10")


def test_the_opening_stock_lies_on_the_shelf(buyer):
    assert "2 rows were brought in" in bring(buyer, STOCK, SHELF, write="yes")
    bearing = Part.objects.with_stock().get(number="4711")
    assert (bearing.on_shelf, bearing.place, bearing.minimum) == (7, "bin B3", 2)
    assert Movement.objects.filter(part=bearing).get().reason == "opening stock"
    assert "0 rows were brought in, 2 left alone" in bring(buyer, STOCK, SHELF, write="yes")


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("number\tname\n1\tx\n", "Row 1, counted: This column is missing."),
        ("number\tcounted\n77\t1\n", "Row 2, name: No part has the number “77”"),
        ("number\tname\tcounted\n1\tx\tmany\n", "Row 2, counted: Give a number"),
        ("number\tname\tcounted\n1\tx\t1\n1\tx\t2\n", "Row 3, number: Row 2 is of the same part."),
        ("number\tname\tcounted\tunit\n1\tx\t1\tbucket\n", "A part is counted in piece, set"),
        ("number\tcounted\n4711\t9\n", "The record says 7: count it on its own page"),
    ],
)
def test_faults_are_told_with_row_and_column_and_nothing_is_written(buyer, text, words):
    make_part(number="4711", shelf=7)
    page = bring(buyer, STOCK, text, write="yes")
    assert words in page
    assert (Part.objects.count(), Movement.objects.count()) == (1, 1)
