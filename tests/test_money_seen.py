"""Every page, list, file, paper and feed is opened as each role, and no amount is found that it may not see.

What may be seen by whom is declared on the field of the record (`shop.base.seen_by`, `tests/test_money_declared.py`).
"""

import re
from decimal import Decimal
from io import BytesIO
from typing import Any
from zipfile import ZipFile, is_zipfile

import pytest
from django.apps import apps
from django.conf import settings as project_settings
from django.contrib.auth.models import User
from django.db import transaction
from django.test import Client
from django.urls import reverse

from shop.base.seen_by import MoneyModelField
from shop.orders.models import Document, Order
from tests.addresses import addresses, examples
from tests.conftest import signed_in
from tests.factories.people import make_people
from tests.pages import press
from tests.pdfs import text_of

pytestmark = pytest.mark.django_db

READ = {name: address for name, address in addresses().items() if "GET" in address.methods}
PRICE, DEPOSIT, BACK = Decimal("7313.57"), Decimal("4219.83"), Decimal("3347.91")
PLANTED = re.compile(
    rf"7313[.,]57|4219[.,]83|3347[.,]91|{project_settings.SHOP_CURRENCY}\s*\d|\d\s*{project_settings.SHOP_CURRENCY}\b"
)
SECRET = b"the invoice says 7313.57"


@pytest.fixture(scope="module", autouse=True)
def files_of_the_test(files_of_the_file: None) -> None:
    """The files of this file's records live as long as they do."""


@pytest.fixture(scope="module")
def world(files_of_the_file: None, until_the_file_ends: None) -> tuple[dict[str, User], dict[str, Any]]:
    """One person a role and a record behind every address; every amount of money on record is one of three figures."""
    people = make_people()
    values = examples(people)
    for model, field in money_fields():
        figure = {"price": PRICE, "deposit": DEPOSIT}.get(field.name, BACK)
        model._default_manager.update(**{field.name: figure})
    write_letter(people["buyer"])
    return people, values


def write_letter(buyer: User) -> None:
    """A letter that names the price, and an invoice, both kept with an order."""
    client = signed_in(buyer)
    order = Order.objects.filter(lines__isnull=False).first()
    assert order is not None
    press(client, reverse("orders:message-new", args=[order.pk]) + "?about=order", **LETTER)
    paper = Document.objects.get()
    paper.file.storage.delete(paper.file.name)
    paper.file.storage.save(paper.file.name, BytesIO(SECRET))
    Document.objects.update(paper="invoice")


LETTER = {"way": "letter", "subject": "Order", "body": f"Each costs {PRICE}.", "ask_again_on": ""}


def money_fields() -> list[tuple[Any, Any]]:
    ours = [model for model in apps.get_models() if model.__module__.startswith(("shop.", "specs."))]
    now = [model for model in ours if not hasattr(model, "history_object")]
    return [(model, field) for model in now for field in model._meta.fields if isinstance(field, MoneyModelField)]


def text_in(response: Any) -> str:
    """Everything that an answer says, unpacked."""
    content = b"".join(response.streaming_content) if response.streaming else response.content
    if content.startswith(b"%PDF"):
        return text_of(content)
    if is_zipfile(BytesIO(content)):
        book = ZipFile(BytesIO(content))
        return " ".join(book.read(name).decode(errors="replace") for name in book.namelist())
    # The currency in a label names no amount: "Price each, EUR" before a box that is empty.
    return re.sub(
        r"<[^>]*>", lambda tag: " ".join(re.findall(r'value="([^"]*)"', tag[0])), content.decode(errors="replace")
    )


def amounts_shown(client: Client, at: str) -> list[str]:
    """The amounts on a page, and in the files of a list."""
    asked = (at, f"{at}?as=csv", f"{at}?as=xlsx") if not re.search(r"\d", at) else (at,)
    return [found for address in asked for found in PLANTED.findall(text_in(client.get(address)))]


@pytest.mark.parametrize("name", READ)
def test_no_page_list_file_paper_or_feed_shows_an_amount_to_who_may_not_see_it(
    name: str, world: tuple[dict[str, User], dict[str, Any]]
) -> None:
    people, values = world
    at = reverse(name, kwargs=values.get(name, {}))
    for role in ("fitter", "machinist"):
        with transaction.atomic():
            assert amounts_shown(signed_in(people[role]), at) == [], f"{role} at {at}"
            transaction.set_rollback(True)


SHOWN = (
    "orders:orders",
    "orders:order",
    "orders:line-edit",
    "orders:order-edit",
    "orders:document",
    "planning:wait-or-buy",
)


@pytest.mark.parametrize("role", ["owner", "buyer"])
@pytest.mark.parametrize("name", SHOWN)
def test_owner_and_buyer_see_what_parts_cost(
    name: str, role: str, world: tuple[dict[str, User], dict[str, Any]]
) -> None:
    people, values = world
    assert amounts_shown(signed_in(people[role]), reverse(name, kwargs=values.get(name, {})))


def test_a_list_cannot_be_sorted_by_a_column_that_its_reader_may_not_see(
    world: tuple[dict[str, User], dict[str, Any]],
) -> None:
    people, _ = world
    page = signed_in(people["fitter"]).get(reverse("orders:orders"), {"sort": "-amount"})
    assert "sort=amount" not in page.content.decode()
    assert page.context["table"].order_by == ("-ordered_on",)


def test_a_fitter_sends_pieces_back_without_being_asked_for_money(
    world: tuple[dict[str, User], dict[str, Any]],
) -> None:
    people, values = world
    at = reverse("orders:return-new", kwargs=values["orders:return-new"])
    assert "money_back" not in signed_in(people["fitter"]).get(at).context["form"].fields
    assert "money_back" in signed_in(people["buyer"]).get(at).context["form"].fields
