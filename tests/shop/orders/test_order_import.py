"""Past orders from a file: looked at first, faults by row and column, all or nothing, twice is once."""

from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from shop.orders.delivery_history import history
from shop.orders.models import Order, Supplier
from tests.pages import collapsed

pytestmark = pytest.mark.django_db

ADDRESS = "/orders/import/"
HEAD = "supplier,reference,ordered_on,part,quantity,price,first_promised,last_promised,delivered_on"
GOOD = f"""{HEAD}
Nuvo Splines,NU-1,2025-03-03,slip yoke,1,164.00,2025-04-01,2025-04-20,2025-04-22
Nuvo Splines,NU-1,2025-03-03,"shaft, splined 26",2,310.00,2025-04-01,,2025-04-22
Olmstead Castings,OL-9,2025-05-05,"=HYPERLINK(""x"")",1,"390,50",,,
"""


def send(client, text, **fields):
    return client.post(ADDRESS, {"text": text, **fields})


def write(client, text):
    return send(client, text, write="yes")


def test_looking_writes_nothing_and_shows_what_it_would_do(buyer):
    page = collapsed(send(buyer, GOOD))
    assert "2 orders, 3 rows." in page
    assert "New suppliers: Nuvo Splines, Olmstead Castings." in page
    assert "Import orders" in page
    assert not Order.objects.exists()
    assert not Supplier.objects.exists()


def test_written_each_order_has_its_lines_promises_and_deliveries(buyer):
    write(buyer, GOOD)
    order = Order.objects.get(reference="NU-1")
    first, second = order.lines.all()
    assert (second.text, second.quantity, second.price) == ("shaft, splined 26", 2, Decimal("310.00"))
    assert [str(promise) for promise in first.promises.all()] == ["2025-04-01", "2025-04-20"]
    assert str(first.deliveries.get().on) == "2025-04-22"
    (past,) = history(first.deliveries.get().on).record(order.supplier_id).own
    assert past.days_late == 21
    assert Order.objects.get(reference="OL-9").lines.get().price == Decimal("390.50")


def test_twice_is_once(buyer):
    write(buyer, GOOD)
    page = write(buyer, GOOD)
    assert page.url == "/orders/"
    assert Order.objects.count() == 2
    assert "left alone: Olmstead Castings OL-9" in collapsed(send(buyer, GOOD.replace("NU-1", "NU-2")))


@pytest.mark.parametrize(
    ("was", "becomes", "words"),
    [
        ("2025-05-05", "20226-05-05", "Row 4, ordered_on: The year 20226 cannot be right."),
        ("2025-05-05", "2099-05-05", "Row 4, ordered_on: The year 2099 cannot be right"),
        ("2025-05-05", "May", "Row 4, ordered_on: Give a day"),
        ('"390,50"', "-3", "Row 4, price: "),
        ('"390,50"', '"1,250"', "Row 4, price: “1,250” may mean"),
        ("slip yoke,1,", "slip yoke,0,", "Row 2, quantity: "),
        ("2025-04-01,2025-04-20", "2025-02-01,2025-04-20", "Row 2, first_promised: "),
        (",2025-04-22\nNuvo", ",2025-01-01\nNuvo", "Row 2, delivered_on: The order was placed on"),
        ("Olmstead Castings,OL-9", ",OL-9", "Row 4, supplier: "),
        ("164.00,", "164.00,,,", "Row 2: This row has more cells than the heading."),
        ("reference,", "ref,", "Row 1, reference: This column is missing."),
    ],
)
def test_faults_are_named_by_row_and_column_and_nothing_is_written(buyer, was, becomes, words):
    assert was in GOOD
    response = write(buyer, GOOD.replace(was, becomes, 1))
    assert words in collapsed(response)
    assert not Order.objects.exists()
    assert not Supplier.objects.exists()


@pytest.mark.parametrize("text", ["", "   ", HEAD, "\n\n"])
def test_an_empty_file_is_told_so(buyer, text):
    page = collapsed(send(buyer, text))
    assert "file" in page
    assert 'name="write"' not in page


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
def test_a_file_with_semicolons_and_umlauts(buyer, encoding):
    text = GOOD.replace(",", ";").replace("390;50", "390,50").replace("slip yoke", "Größe 2")
    file = SimpleUploadedFile("orders.csv", text.encode(encoding))
    page = collapsed(buyer.post(ADDRESS, {"file": file}))
    assert "Größe 2" in page
    assert "2 orders, 3 rows." in page


def test_the_fitter_may_not(fitter):
    assert fitter.get(ADDRESS).status_code == 403


def test_the_workbook_has_the_same_rows_with_formulas_defused_and_numbers_as_numbers(buyer):
    from io import BytesIO

    from openpyxl import load_workbook

    write(buyer, GOOD.replace("OL-9", "=1+2"))
    rows = list(load_workbook(BytesIO(buyer.get("/orders/?as=xlsx").content)).active.iter_rows())
    assert [cell.value for cell in rows[0]][:2] == ["Order", "Supplier"]
    cells = {cell.value: cell for row in rows for cell in row}
    assert cells["'=1+2"].data_type == "s"
    assert cells[390.5].data_type == "n"
