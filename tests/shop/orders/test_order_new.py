"""Writing an order: its lines, its number, and what is refused beside the field."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.models import ListPrice, Order, OrderLine, SupplierNumber
from tests.factories.jobs import make_part_need
from tests.factories.measuring import make_component
from tests.factories.orders import PLACED, make_order, make_supplier
from tests.factories.stock import make_part
from tests.pages import collapsed
from tests.shop.orders.forms import fault, sent

pytestmark = pytest.mark.django_db

ADDRESS = "/orders/new/"


def form(*lines, **changes):
    """The form with the given lines, each a mapping of its fields, and as many blank ones."""
    usual = {
        "ordered_on": timezone.localdate().isoformat(),
        "reference": "",
        "deposit": "",
        "tax_percent": "20",
        "notes": "",
    }
    fields = {"supplier": changes.pop("supplier", None) or make_supplier().pk, **usual}
    fields |= {"lines-TOTAL_FORMS": len(lines) + 1, "lines-INITIAL_FORMS": 0}
    blank = {"component": "", "text": "", "quantity": "1", "price": "", "part_need": ""}
    for number, line in enumerate([*lines, {}]):
        fields |= {f"lines-{number}-{name}": value for name, value in {**blank, **line}.items()}
    return sent(**{**fields, **changes})


def test_an_order_with_two_lines(buyer, people):
    need, component = make_part_need(), make_component()
    lines = [
        {"text": "clutch kit", "quantity": "1", "price": "180,50", "part_need": need.pk},
        {"component": component.pk, "quantity": "2", "price": "12.25"},
    ]
    response = buyer.post(ADDRESS, form(*lines, reference="AB-77", deposit="50"))
    order = Order.objects.get()
    assert response.url == f"/orders/{order.pk}/"
    assert order.number == f"{timezone.localdate().year}-001"
    assert (order.reference, order.deposit, order.ordered_by) == ("AB-77", Decimal("50"), people["buyer"])
    first, second = order.lines.all()
    assert (first.text, first.price, first.part_need) == ("clutch kit", Decimal("180.50"), need)
    assert (second.component, second.quantity) == (component, 2)
    assert order.history.get().history_user == people["buyer"]


def test_numbers_go_on_from_the_last_of_the_year(buyer):
    year = timezone.localdate().year
    make_order(number=f"{year}-041")
    buyer.post(ADDRESS, form({"text": "bolts", "price": "1"}))
    assert Order.objects.filter(number=f"{year}-042").exists()


def test_pressed_twice_it_is_ordered_once(buyer):
    once = form({"text": "bolts", "price": "1"})
    assert buyer.post(ADDRESS, once).url == buyer.post(ADDRESS, once).url
    assert Order.objects.count() == 1


def test_an_order_without_lines_is_refused(buyer):
    page = collapsed(buyer.post(ADDRESS, form()))
    assert "Write at least one line." in page
    assert not Order.objects.exists()


@pytest.mark.parametrize(
    ("line", "field", "words"),
    [
        ({"text": "bolts", "price": "-1"}, "price", "A price cannot be below 0."),
        ({"text": "bolts", "price": "cheap"}, "price", "Give a number, for example 12 or 12.50."),
        ({"text": "bolts", "price": "1,250"}, "price", "may mean 1.250 or 1250"),
        ({"text": "bolts", "price": "1", "quantity": "0"}, "quantity", "Give a number above 0."),
        ({"text": "bolts", "price": "1", "quantity": "-3"}, "quantity", "Give a number above 0."),
        ({"text": "bolts", "price": "1", "quantity": "NaN"}, "quantity", "Give a number"),
        ({"text": "bolts", "price": "1e99"}, "price", "digits"),
    ],
)
def test_a_bad_line_is_refused_beside_its_field_and_kept(buyer, line, field, words):
    page = collapsed(buyer.post(ADDRESS, form(line, notes="as talked about")))
    assert words in fault(page, f"lines-0-{field}")
    assert f'value="{line[field]}"' in page
    assert "as talked about" in page
    assert not OrderLine.objects.exists()


def test_neither_component_nor_words_is_refused(buyer):
    page = collapsed(buyer.post(ADDRESS, form({"price": "3"})))
    assert "Choose a component, or describe the part in words; not both." in page


def test_an_order_of_tomorrow_is_refused(buyer):
    tomorrow = timezone.localdate() + timedelta(days=1)
    page = collapsed(buyer.post(ADDRESS, form({"text": "b", "price": "1"}, ordered_on=tomorrow.isoformat())))
    assert "is still to come" in fault(page, "ordered_on")


def test_a_year_of_five_digits_is_named(buyer):
    page = collapsed(buyer.post(ADDRESS, form({"text": "b", "price": "1"}, ordered_on="20226-05-01")))
    assert "The year 20226 cannot be right." in fault(page, "ordered_on")
    assert 'value="20226-05-01"' in page


def test_the_page_asks_the_same_number_of_queries_for_many_needs(buyer, django_assert_num_queries):
    from tests.queries import queries_of

    make_part_need()
    few = len(queries_of(buyer, ADDRESS))
    for _ in range(10):
        make_part_need()
        make_component()
    assert len(queries_of(buyer, ADDRESS)) == few


def numbered(seller, part, number="QC 10", price="12.40", **changes):
    """A part that a supplier has under a number of theirs, at a price."""
    SupplierNumber.objects.create(part=part, supplier=seller, number=number)
    ListPrice.objects.create(
        part=part, supplier=seller, on=PLACED, price=price, recorded_by=make_order().ordered_by, **changes
    )
    return part


def test_a_number_fills_part_and_price_and_is_kept_when_looked_over(buyer):
    seller, part = make_supplier(), make_part(name="release bearing")
    numbered(seller, part)
    page = collapsed(buyer.post(ADDRESS, form({"number": "qc 10", "quantity": "2"}, supplier=seller.pk)))
    assert Order.objects.filter(supplier=seller).count() == 0
    assert "Filled in. Look the lines over, then save." in page
    assert 'name="lines-0-price" value="12.40"' in page
    assert "read as release bearing" in page
    buyer.post(ADDRESS, form({"number": "qc 10", "quantity": "2", "price": "12.40"}, supplier=seller.pk))
    line = OrderLine.objects.get(part=part)
    assert (line.text, line.supplier_number, line.price) == ("release bearing", "QC 10", Decimal("12.40"))


def test_twenty_lines_pasted_from_a_sheet_are_two_presses(buyer):
    seller = make_supplier()
    parts = [numbered(seller, make_part(), number=f"QC {n}", price=f"{n}.50") for n in range(1, 20)]
    rows = "\n".join([*(f"{part.number}\t{n}\t" for n, part in enumerate(parts, 1)), "two tubes of sealant\t2\t4,20"])
    page = buyer.post(ADDRESS, form(supplier=seller.pk, rows=rows, fill="yes"))
    assert "20 lines from the sheet" in collapsed(page)
    told = page.context["form"].data.dict()
    told.pop("fill")
    buyer.post(ADDRESS, told)
    lines = list(Order.objects.get(supplier=seller).lines.all())
    assert [(line.part, line.quantity, line.price) for line in lines[:19]] == [
        (part, n, Decimal(f"{n}.50")) for n, part in enumerate(parts, 1)
    ]
    assert (lines[19].text, lines[19].price) == ("two tubes of sealant", Decimal("4.20"))


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("77104\t2\t3", "No part has the number “77104”"),
        ("a\t1\t2\t3", "A row has more than three cells"),
        ("number\tnumber\tprice\n1\t2\t3", "Two columns have the same heading"),
        ("bolt set\t1,250\t3", "may mean 1.250 or 1250"),
    ],
)
def test_rows_that_cannot_be_meant_are_told_and_kept(buyer, rows, words):
    page = collapsed(buyer.post(ADDRESS, form(rows=rows)))
    assert words in page
    assert rows.split("\t")[0] in page
    assert Order.objects.count() == 0


def test_a_supplier_of_another_currency_asks_for_the_rate_of_the_day(buyer):
    seller = make_supplier(currency="USD")
    line = {"text": "bearing", "price": "10"}
    page = collapsed(buyer.post(ADDRESS, form(line, supplier=seller.pk)))
    assert 'name="currency" value="USD"' in page
    assert "Give what one USD is in" in page
    buyer.post(ADDRESS, form(line, supplier=seller.pk, currency="usd", rate="0,92", discount_percent="5", freight="8"))
    order = Order.objects.get(supplier=seller)
    assert (order.currency, order.rate, order.amounts(Decimal(10)).net_in_ours) == (
        "USD",
        Decimal("0.92"),
        Decimal("16.10"),
    )
    listed = collapsed(buyer.get("/orders/"))
    assert "16.10" in listed


def test_a_number_of_another_component_is_refused(buyer):
    part, other = make_part(component=make_component()), make_component()
    page = collapsed(buyer.post(ADDRESS, form({"number": part.number, "component": other.pk, "price": "1"})))
    assert "leave this empty" in page
