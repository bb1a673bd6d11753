"""Everything that came, by the day on which it came: the file for book-keeping."""

import csv
from datetime import date
from decimal import Decimal
from io import BytesIO

import pytest
from openpyxl import load_workbook

from tests.factories.orders import make_delivery, make_line, make_order
from tests.factories.payables import make_invoice
from tests.queries import queries_of

pytestmark = pytest.mark.django_db

ADDRESS = "/payables/deliveries/"


def came(on, **changes):
    order = make_order(tax_percent=Decimal("8.1"), discount_percent=Decimal(10))
    return make_delivery(line=make_line(order=order, price=Decimal("19.99"), **changes), on=on)


def read(client, address):
    answer = client.get(address)
    return list(csv.DictReader(answer.getvalue().decode("utf-8-sig").splitlines()))


def test_the_file_by_delivery_date_has_clean_decimals(buyer):
    first, _ = came(date(2026, 3, 5), quantity=Decimal(3)), came(date(2026, 4, 5))
    make_invoice(first, number="R 7")
    address = f"{ADDRESS}?since=2026-03-01&until=2026-03-31&as=csv"
    (row,) = read(buyer, address)
    # 3 × 19.99 = 59.97, less 10 % = 53.97; 8.1 % of it 4.37157 → 4.37.
    assert (row["Quantity"], row["Price each"], row["Without tax"]) == ("3", "19.99", "53.97")
    assert (row["Tax, %"], row["Tax"], row["With tax"]) == ("8.10", "4.37", "58.34")
    assert (row["Came on"], row["Invoice"]) == ("2026-03-05", "R 7")


def test_another_currency_stands_beside_ours_by_the_rate_typed_with_the_order(buyer):
    """3 × 19.99 = 59.97 without tax, 8.1 % of it 4.86, together 64.83; at 0.9215 that is 55.26 and 59.74."""
    abroad = make_order(tax_percent=Decimal("8.1"), currency="USD", rate=Decimal("0.9215"))
    parcel = make_delivery(line=make_line(order=abroad, price=Decimal("19.99"), quantity=Decimal(3)))
    make_invoice(parcel, amount=Decimal("64.83"))
    (row,) = read(buyer, f"{ADDRESS}?as=csv")
    assert (row["Currency"], row["One of it in EUR"]) == ("USD", "0.9215")
    assert (row["With tax"], row["Without tax, EUR"], row["With tax, EUR"]) == ("64.83", "55.26", "59.74")
    (row,) = read(buyer, "/payables/?as=csv")
    assert (row["Currency"], row["Amount with tax"], row["Amount with tax, EUR"]) == ("USD", "64.83", "59.74")
    assert (row["Delivered with tax"], row["Difference"]) == ("64.83", "0.00")
    book = load_workbook(BytesIO(buyer.get(f"{ADDRESS}?as=xlsx").getvalue()))
    heads, cells = ([cell.value for cell in line] for line in book.active.iter_rows(max_row=2))
    found = dict(zip(heads, cells, strict=True))
    assert (found["With tax, EUR"], found["One of it in EUR"]) == (59.74, 0.9215), "numbers, not words"


def test_what_is_not_invoiced_can_be_asked_for_in_a_constant_number_of_queries(buyer):
    make_invoice(came(date(2026, 3, 5), text="disc"))
    came(date(2026, 3, 6), text="bolt")
    text = buyer.get(f"{ADDRESS}?invoiced=no&as=csv").content.decode()
    assert "bolt" in text
    assert "disc" not in text
    one = queries_of(buyer, ADDRESS)
    for _ in range(5):
        came(date(2026, 3, 7))
    assert len(queries_of(buyer, ADDRESS)) == len(one)
