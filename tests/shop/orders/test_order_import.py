"""Past orders from a file: looked at first, faults by row and column, all or nothing, twice is once."""

from datetime import date, datetime
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
        ("2025-04-22\nNuvo", "2025-04-22,more\nNuvo", "Row 2: This row has more cells than the heading."),
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


def workbook(*rows, **parts):
    from io import BytesIO
    from zipfile import ZIP_DEFLATED, ZipFile

    from openpyxl import Workbook

    book, out = Workbook(), BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(out)
    with ZipFile(out, "a", ZIP_DEFLATED) as packed:
        for name, content in parts.items():
            packed.writestr(name.replace("__", "/").replace("_dot_", "."), content)
    return out.getvalue()


def upload(client, content, name="orders.xlsx"):
    return collapsed(client.post(ADDRESS, {"file": SimpleUploadedFile(name, content)}))


def test_a_workbook_is_read_like_text_with_its_days_and_numbers(buyer):
    row = ["Nuvo Splines", "NU-1", date(2025, 3, 3), "slip yoke", 1, 164.5, datetime(2025, 4, 1), None, None]
    page = upload(buyer, workbook(HEAD.split(","), row))
    assert "1 order, 1 row." in page
    assert "164.5" in page


@pytest.mark.parametrize("ends", ["\r", "\r\n", "\n"])
def test_lines_may_end_as_any_machine_ends_them_also_inside_a_cell(buyer, ends):
    text = GOOD.replace("slip yoke", f'"slip{ends}yoke"').replace("\n", ends)
    assert "2 orders, 3 rows." in upload(buyer, text.encode(), "orders.csv")


def test_text_in_sixteen_bits_with_its_mark_is_read(buyer):
    assert "2 orders, 3 rows." in upload(buyer, GOOD.encode("utf-16"), "orders.csv")


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"\xd0\xcf\x11\xe0" + b"0" * 600, "older workbook (.xls) or one under a password"),
        (b"PK\x03\x04damaged", "This file is damaged"),
        (b"\x00\x01\x02", "This is no table"),
        (workbook(["a"], xl__vbaProject_dot_bin="x"), "holds macros"),
        (workbook(["a"], xl__media_dot_bin="0" * 120_000_000), "unpacks to far more"),
        (f"{HEAD}\n{'x' * 140_000},NU-1".encode(), "A cell of this file is too long"),
        ((",".join("a" * 20_000)).encode(), "at most 200 can be read"),
    ],
    ids=["xls", "damaged", "binary", "macros", "bomb", "long cell", "many columns"],
)
def test_what_is_no_readable_table_is_refused_in_words(buyer, content, words):
    assert words in upload(buyer, content)
    assert not Order.objects.exists()


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
