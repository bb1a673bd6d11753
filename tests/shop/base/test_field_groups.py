"""A long form's fields in groups, of which those seldom filled in are folded."""

import re

import pytest
from django.test import Client

from tests.factories.orders import make_order, make_supplier
from tests.pages import collapsed

pytestmark = pytest.mark.django_db

FOLD = re.compile(r'<details class="grounds more"\s*( open)?>\s*<summary>(.*?)</summary>', re.S)


def folds(page: str) -> dict[str, bool]:
    """Each fold by its words and count, and whether it begins open."""
    words = ((re.sub(r"<[^>]*>", "", said), bool(opened)) for opened, said in FOLD.findall(page))
    return {" ".join(said.split()): opened for said, opened in words}


def test_what_is_seldom_filled_in_is_folded_with_its_count(buyer: Client) -> None:
    page = buyer.get("/orders/suppliers/new/").content.decode()
    assert folds(page) == {"Terms 5": False, "Language, insolvency, notes 3": False}
    assert page.index('name="phone"') < page.index('<details class="grounds more"') < page.index('name="terms"')


def test_a_fold_in_which_something_stands_begins_open(buyer: Client) -> None:
    supplier = make_supplier(terms="30 days net")
    page = buyer.get(f"/orders/suppliers/{supplier.pk}/edit/").content.decode()
    assert folds(page) == {"Terms 5": True, "Language, insolvency, notes 3": False}


def test_a_fold_with_a_fault_begins_open(buyer: Client) -> None:
    sent = buyer.post("/orders/suppliers/new/", {"name": "Tarn", "insolvent_on": "soon", "version": 0})
    assert folds(sent.content.decode()) == {"Terms 5": False, "Language, insolvency, notes 3": True}


def test_usual_values_leave_a_fold_closed(buyer: Client) -> None:
    order = make_order()
    page = buyer.get(f"/orders/{order.pk}/edit/").content.decode()
    assert folds(page) == {"Discount, freight, tax, currency, deposit, notes 7": False}


def test_every_field_is_shown_once(buyer: Client) -> None:
    page = collapsed(buyer.get("/orders/suppliers/new/"))
    names = re.findall(r'<(?:input|textarea|select)[^>]* name="(\w+)"', page)
    asked = [name for name in names if name != "csrfmiddlewaretoken"]
    assert len(asked) == len(set(asked))
    assert {"name", "terms", "notes", "version"} <= set(asked)
