"""Bringing in a price list and the opening stock: checked by row and column, written once, parts added."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.base.models import LongWork
from shop.base.records import delete_record
from shop.base.search_index import differences
from shop.orders import part_import_changes
from shop.orders.models import ListPrice, SupplierNumber
from shop.stock.models import Movement, Part
from shop.stock.places import lying
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


def test_seven_bad_rows_of_five_thousand_are_all_named(buyer):
    rows = [f"P-{at}\tpart {at}\t{at}.5" for at in range(5000)]
    for at in (0, 7, 99, 1234, 2500, 4000, 4999):
        rows[at] = f"P-{at}\tpart {at}\tcheap"
    page = prices(buyer, "\n".join(["number\tname\tprice", *rows]), make_supplier(), write="yes")
    assert "7 things to put right; nothing was written" in page
    assert [f"Row {at + 2}, price:" in page for at in (0, 7, 99, 1234, 2500, 4000, 4999)] == [True] * 7
    assert not Part.objects.exists()


def test_a_long_list_is_written_by_few_statements_and_its_parts_are_found(buyer, monkeypatch):
    monkeypatch.setattr(part_import_changes, "HELD", 60)
    text = "number\tname\tsupplier number\tprice\n" + "\n".join(f"P-{at}\tpart {at}\tS-{at}\t7" for at in range(200))
    with CaptureQueriesContext(connection) as asked:
        page = prices(buyer, text, make_supplier(), write="yes")
    assert "200 rows were brought in, 0 left alone, being on record already; 200 parts were added." in page
    assert len(asked) < 200, "one statement a row would be thousands"
    assert [one for one in differences() if one.startswith("stock.part ")] == []
    part = Part.objects.get(number="P-7")
    assert part.history.count() == part.list_prices.get().history.count() == 1


def test_what_was_ended_half_way_is_gone_on_with_and_a_supplier_deleted_meanwhile_is_told(buyer, people):
    seller = make_supplier()
    given = {"text": LIST, "supplier": seller.pk, "on": PLACED.isoformat(), "currency": "", "note": ""}
    work = LongWork.objects.create(
        kind="orders.price-list",
        title="Import a price list",
        given=given,
        person=people["buyer"],
        asked_at=timezone.now(),
        beat_at=timezone.now() - timedelta(hours=1),
    )
    delete_record(seller, person=people["buyer"], reason="twice", now=timezone.now())
    assert "was deleted meanwhile. Undo that first." in collapsed(buyer.post(f"/work/{work.pk}/", follow=True))
    buyer.post(f"/undo/orders.supplier/{seller.pk}/")
    assert "2 rows were brought in" in collapsed(buyer.post(f"/work/{work.pk}/", follow=True))


def test_opening_stock_lies_at_the_place_of_each_row(buyer):
    known, other = make_part(number="4712", name="hose"), make_part(number="4713", shelf=5)
    text = "number;name;counted;place\n4711;bearing;7;bin B3\n4711;;3;rack 2\n4712;;4;drawer 4\n"
    page = bring(buyer, STOCK, text, write="yes")
    assert "3 rows were brought in" in page
    assert "0 rows were brought in, 3 left alone" in bring(buyer, STOCK, text, write="yes")
    parts = {part.number: part for part in Part.objects.with_stock().with_places()}
    assert (parts["4711"].place, lying(parts["4711"])) == ("bin B3", {"": 7, "rack 2": 3})
    assert (parts["4712"].place, lying(parts["4712"])) == ("drawer 4", {"": 4})
    page = bring(buyer, STOCK, "number;counted;place\n4713;9;rack 2\n4711;9;Rack 2\n", write="yes")
    assert "Row 2, counted: The record says 5, at no place: give the part its place" in page
    assert "Row 3, counted: The record says 3 at rack 2: count it on its own page" in page
    assert (known.movements.count(), other.movements.count()) == (1, 1)
