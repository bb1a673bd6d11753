"""Past orders from a file: looked at first, faults by row and column, all or nothing, twice is once."""

from datetime import date
from decimal import Decimal

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from shop.base.records import delete_record
from shop.orders.delivery_history import history
from shop.orders.models import Order, Supplier, SupplierNumber
from shop.stock.models import Part
from tests.books import ods, xlsx
from tests.factories.orders import make_supplier
from tests.factories.stock import make_part
from tests.pages import collapsed, press

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
    assert (
        page.index('<button form="import" name="write"')
        < page.index("<table")
        < page.index('<form method="post" id="import"')
    )
    assert not Order.objects.exists()
    assert not Supplier.objects.exists()


def test_written_each_order_has_its_lines_promises_and_deliveries(buyer):
    write(buyer, GOOD)
    order = Order.objects.get(reference="NU-1")
    first, second = order.lines.all()
    assert (second.text, second.quantity, second.price) == ("shaft, splined 26", 2, Decimal("310.00"))
    assert [str(promise) for promise in first.promises.all()] == ["1 Apr 2025", "20 Apr 2025"]
    assert str(first.deliveries.get().on) == "2025-04-22"
    (past,) = history(first.deliveries.get().on).record(order.supplier_id).own
    assert past.days_late == 21
    assert Order.objects.get(reference="OL-9").lines.get().price == Decimal("390.50")


def test_twice_is_once(buyer):
    write(buyer, GOOD)
    page = write(buyer, GOOD)
    assert page.url == "/orders/"
    assert Order.objects.count() == 2
    assert "Nothing was written: all 2 orders of the file are on record already." in collapsed(buyer.get("/orders/"))
    page = collapsed(send(buyer, GOOD))
    assert "There is nothing to import: every order of this file is on record." in page
    assert 'name="write"' not in page
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


def test_an_order_has_one_day(buyer):
    page = collapsed(write(buyer, GOOD.replace('NU-1,2025-03-03,"shaft', 'NU-1,2025-03-04,"shaft')))
    assert "Row 3, ordered_on: Row 2 places this order on 2025-03-03; an order has one day." in page
    assert not Order.objects.exists()


def test_every_fault_of_every_row_is_told_at_once(buyer):
    text = GOOD.replace("slip yoke,1,", "slip yoke,0,").replace('"390,50"', "-3").replace("2025-05-05", "2099-05-05")
    page = collapsed(write(buyer, text))
    assert "3 things to put right; nothing was written" in page
    assert [page.find(f"Row {row}, {column}:") > 0 for row, column in ((2, "quantity"), (4, "price"))] == [True] * 2


def test_an_empty_cell_says_what_belongs_there(buyer):
    page = collapsed(write(buyer, "supplier,reference,ordered_on,part,quantity,price\n,,,,,9\n"))
    told = ("Give the supplier", "Give the day of the order", "Name the part", "Give how many")
    assert all(words in page for words in told)
    assert "Fill this in" not in page


class TestDaysInFiguresAlone:
    """11/12/2025 is 11 December to one office and 12 November to another."""

    ASKED = GOOD.replace("2025-03-03", "3/4/2025").replace("2025-04-01", "").replace("2025-04-20", "")

    def test_are_asked_about(self, buyer):
        page = collapsed(write(buyer, self.ASKED))
        assert "Row 2, ordered_on: “3/4/2025” may mean two days: say below which comes first" in page
        assert "Days in this file are written as" in page
        assert not Order.objects.exists()

    @pytest.mark.parametrize(("said", "day"), [("day", date(2025, 4, 3)), ("month", date(2025, 3, 4))])
    def test_are_read_as_was_said(self, buyer, said, day):
        send(buyer, self.ASKED, day_order=said, write="yes")
        assert Order.objects.get(reference="NU-1").ordered_on == day

    @pytest.mark.parametrize(("other", "first"), [("25/12/2024", "day"), ("12/25/2024", "month")])
    def test_are_settled_by_one_that_can_mean_one_day_only(self, buyer, other, first):
        page = collapsed(send(buyer, self.ASKED.replace("2025-05-05", other)))
        assert f"Days in figures alone are read with the {first} first." in page

    def test_are_asked_about_where_the_file_contradicts_itself(self, buyer):
        text = self.ASKED.replace("2025-05-05", "25/12/2024").replace("2025-04-22", "12/25/2025")
        assert "may mean two days" in collapsed(send(buyer, text))

    def test_that_are_none_in_the_order_said_are_refused(self, buyer):
        page = collapsed(send(buyer, self.ASKED.replace("2025-05-05", "25/12/2024"), day_order="month"))
        assert "Row 4, ordered_on: “25/12/2024” is no day where days are written as month/day/year" in page

    def test_that_mean_one_day_either_way_are_not_asked_about(self, buyer):
        assert "2 orders, 3 rows." in collapsed(send(buyer, GOOD.replace("2025-03-03", "3/3/2025")))


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


def upload(client, content, name="orders.xlsx"):
    return collapsed(client.post(ADDRESS, {"file": SimpleUploadedFile(name, content)}))


@pytest.mark.parametrize("write_book", [xlsx, ods])
def test_a_workbook_is_read_like_text_with_its_days_and_numbers(buyer, write_book):
    row = ["Nuvo Splines", "NU-1", date(2025, 3, 3), "slip yoke", 1, 164.5, date(2025, 4, 1), None, None]
    page = upload(buyer, write_book(HEAD.split(","), row))
    assert "1 order, 1 row." in page
    assert "164.5" in page


@pytest.mark.parametrize("ends", ["\r", "\r\n", "\n"])
def test_lines_may_end_as_any_machine_ends_them_also_inside_a_cell(buyer, ends):
    text = GOOD.replace("slip yoke", f'"slip{ends}yoke"').replace("\n", ends)
    assert "2 orders, 3 rows." in upload(buyer, text.encode(), "orders.csv")


def test_text_in_sixteen_bits_with_its_mark_is_read(buyer):
    assert "2 orders, 3 rows." in upload(buyer, GOOD.encode("utf-16"), "orders.csv")


def test_what_is_no_readable_table_is_refused_in_words(buyer):
    assert "older workbook (.xls) or one under a password" in upload(buyer, b"\xd0\xcf\x11\xe0" + b"0" * 600)
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


def test_a_deleted_supplier_is_matched_and_not_made_anew(buyer, people):
    gone = Supplier.objects.create(name="Nuvo Splines")
    delete_record(gone, person=people["owner"], reason="bankrupt", now=timezone.now())
    page = collapsed(send(buyer, GOOD))
    assert "Deleted suppliers, whose orders are kept with them: Nuvo Splines." in page
    assert "New suppliers: Olmstead Castings." in page
    write(buyer, GOOD)
    assert sorted(Supplier.objects.values_list("name", flat=True)) == ["Nuvo Splines", "Olmstead Castings"]
    assert Order.objects.get(reference="NU-1").supplier.is_deleted


WITH_PARTS = f"""{HEAD},part_number,currency,rate
Nuvo Splines,NU-1,2025-03-03,slip yoke,1,164.00,,,2025-04-22,NS 26,USD,0.92
Nuvo Splines,NU-1,2025-03-03,shaft,2,310.00,,,,4711,usd,0.92
"""


def test_a_past_order_links_its_parts_and_keeps_its_currency_and_moves_nothing_on_the_shelf(buyer):
    supplier = make_supplier(name="Nuvo Splines", currency="USD")
    yoke, shaft = make_part(shelf=3), make_part(number="4711")
    SupplierNumber.objects.create(part=yoke, supplier=supplier, number="NS 26")
    write(buyer, WITH_PARTS)
    order = Order.objects.get()
    assert (order.currency, order.rate) == ("USD", Decimal("0.92"))
    first, second = order.lines.all()
    assert [(line.part, line.text) for line in (first, second)] == [(yoke, yoke.name), (shaft, shaft.name)]
    assert first.supplier_number == "NS 26"
    came = first.deliveries.get()
    press(buyer, f"/orders/delivery/{came.pk}/delete/", reason="wrong line")
    buyer.post(f"/undo/orders.delivery/{came.pk}/")
    line = {"quantity": "1", "price": "165", "number": yoke.number}
    press(buyer, f"/orders/line/{first.pk}/edit/", **line)
    first.refresh_from_db()
    assert (first.price, first.part) == (165, yoke)
    assert Part.objects.with_stock().get(pk=yoke.pk).on_shelf == 3, "what came years ago was counted since"


@pytest.mark.parametrize(
    ("was", "becomes", "words"),
    [
        ("NS 26", "NS 27", "Row 2, part_number: No part has the number “NS 27”."),
        ("USD,0.92", "USD,", "Row 2, rate: Give what one USD was in EUR on the day of the order."),
        ("usd,0.92", "gbp,0.92", "Row 3, currency: Row 2 has this order in “USD”; an order has one currency."),
        ("usd,0.92", "usd,0.93", "Row 3, rate: Row 2 gives another rate; an order has one."),
        ("USD,0.92\n", "US1,0.92\n", "Row 2, currency: Give the three letters of the currency"),
        (",USD,0.92\nNuvo Splines,NU-1", ",,\nNuvo Splines,NU-2", "Nuvo Splines is paid in USD: give the currency"),
    ],
)
def test_a_part_or_currency_that_cannot_be_meant_is_named_and_nothing_is_written(buyer, was, becomes, words):
    supplier = make_supplier(name="Nuvo Splines", currency="USD")
    SupplierNumber.objects.create(part=make_part(number="4711"), supplier=supplier, number="NS 26")
    assert was in WITH_PARTS
    assert words in collapsed(write(buyer, WITH_PARTS.replace(was, becomes, 1)))
    assert not Order.objects.exists()
