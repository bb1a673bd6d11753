"""Who may see money is declared once: a further number that is money, or might be, fails here until it is declared."""

from typing import Any

import django_tables2
import pytest
from django import forms as django_forms
from django.apps import apps
from django.conf import settings as project_settings
from django.contrib.auth.models import User
from django.db import models
from django.test import Client, RequestFactory
from django.urls import reverse

from shop.base.filters import FilterSet
from shop.base.forms import Form
from shop.base.lists import list_page
from shop.base.numbers import AmountField
from shop.base.panels import Panel, Viewer, panels
from shop.base.roles import ROLES, may, roles_of
from shop.base.seen_by import OWN_MONEY, PART_PRICES, seen_by
from shop.base.tables import MoneyColumn, Table
from shop.orders.fields import MoneyField
from shop.orders.models import OrderLine
from tests.addresses import addresses
from tests.test_money_seen import money_fields

pytestmark = pytest.mark.django_db


class _Rates(Table):
    amount = MoneyColumn(accessor="quantity", verbose_name="Rate", seen_by=OWN_MONEY)

    class Meta(Table.Meta):
        model = OrderLine
        fields = ["amount"]


class _RateForm(Form):
    rate = MoneyField("Rate", seen_by=OWN_MONEY)


class _PriceFilters(FilterSet):
    class Meta:
        model = OrderLine
        fields = ["price", "position"]


def test_the_shops_own_money_is_seen_by_the_owner_and_whom_the_owner_names(people: dict[str, User]) -> None:
    assert [role for role in ROLES if may(people[role], OWN_MONEY)] == ["owner"]
    press_button(people["owner"], people["fitter"], f"give-{OWN_MONEY}")
    named = User.objects.get(pk=people["fitter"].pk)
    assert may(named, OWN_MONEY)
    assert not may(named, PART_PRICES)
    assert roles_of(named) == {"fitter"}
    assert "may see the shop" in named.staff_changes.first().words  # type: ignore[union-attr]
    press_button(people["owner"], people["fitter"], f"take-{OWN_MONEY}")
    assert not may(User.objects.get(pk=named.pk), OWN_MONEY)


def press_button(owner: User, member: User, do: str) -> None:
    client = Client()
    client.force_login(owner)
    client.post(reverse("people:person-access", args=[member.pk]), {"do": do})


def test_a_list_form_filter_and_panel_derive_what_they_show_from_the_declaration(people: dict[str, User]) -> None:
    buyer, owner = people["buyer"], people["owner"]
    assert [columns_for(person) for person in (buyer, owner)] == [[], ["amount"]]
    assert [list(_RateForm(reader=person).fields) for person in (buyer, owner)] == [[], ["rate"]]
    panel = Panel("Margins", order=1, read=lambda viewer: None, seen_by=OWN_MONEY)
    viewers = [Viewer(person, None, roles_of(person)) for person in (buyer, owner)]  # type: ignore[arg-type]
    assert [panel.is_for(viewer) for viewer in viewers] == [False, True]
    chosen = [_PriceFilters({}, OrderLine.objects.all(), request=asked(person)) for person in (people["fitter"], buyer)]
    assert [list(one.filters) for one in chosen] == [["position"], ["price", "position"]]


def columns_for(person: User) -> list[str]:
    table = _Rates(OrderLine.objects.none())
    table.leave_out_for(person)
    return table.columns.names()


def asked(person: User) -> Any:
    request = RequestFactory().get("/")
    request.user = person
    return request


NO_MONEY = {"quantity", "tax_percent", "hours", "hours_estimated", "left", "undone", "discount_percent", "rate"}
NO_MONEY |= {"unbilled", "pack", "minimum", "counted", "seen", "from_quantity"}
"""Decimal numbers that are no money. A further one is declared as money or stands here."""


def subclasses(of: type) -> set[type]:
    return {one for child in of.__subclasses__() for one in ({child} | subclasses(child))}


def ours(classes: set[type]) -> list[Any]:
    list(addresses())  # every room is loaded
    return sorted((one for one in classes if one.__module__.startswith("shop.")), key=lambda one: one.__qualname__)


def test_every_decimal_number_of_a_record_is_money_or_known_to_be_none() -> None:
    models_of_ours = [model for model in apps.get_models() if model.__module__.startswith(("shop.", "specs."))]
    decimals = [
        field for model in models_of_ours for field in model._meta.fields if isinstance(field, models.DecimalField)
    ]
    undeclared = {str(one) for one in decimals if not seen_by(one) and one.name not in NO_MONEY}
    assert undeclared == set()


def test_every_number_typed_into_a_form_is_money_or_known_to_be_none() -> None:
    forms = ours(subclasses(django_forms.BaseForm))
    typed = [
        (form, name)
        for form in forms
        for name, field in getattr(form, "base_fields", {}).items()
        if isinstance(field, AmountField | django_forms.DecimalField)
        and not seen_by(field, getattr(getattr(form, "_meta", None), "model", None), name)
    ]
    assert {f"{form.__qualname__}.{name}" for form, name in typed if name not in NO_MONEY} == set()


def test_every_column_that_names_the_currency_or_shows_money_is_declared() -> None:
    currency = project_settings.SHOP_CURRENCY
    for table in ours(subclasses(django_tables2.Table)):
        for name, column in table.base_columns.items():
            path = str(column.accessor or name)
            is_money = currency in str(column.verbose_name or "") or bool(seen_by(None, table._meta.model, path))
            assert not is_money or isinstance(column, MoneyColumn), f"{table.__qualname__}.{name}"


def test_whatever_is_declared_names_an_action(people: dict[str, User]) -> None:
    declared = {field.seen_by for _, field in money_fields()} | {panel.seen_by for panel in panels() if panel.seen_by}
    assert all(may(people["owner"], action) for action in declared)
    assert not any(may(people[role], action) for action in declared for role in ("fitter", "machinist"))


def test_the_list_page_leaves_columns_out_by_itself(people: dict[str, User]) -> None:
    request = asked(people["machinist"])
    request.GET = request.GET.copy()
    request.GET["as"] = "csv"
    assert "Rate" not in list_page(request, title="", table=_Rates, rows=OrderLine.objects.all()).content.decode()
