"""A day is refused in words that name what is wrong with it, on every form of the shop."""

from datetime import date
from importlib import import_module
from pkgutil import walk_packages

import pytest
from django import forms
from django.core.exceptions import ValidationError

import shop
from shop.base.fields import DayField, MomentField
from shop.base.forms import _ShopForm


@pytest.mark.parametrize("typed", ["20226-01-05", "05.01.20226", "5 January 20226"])
@pytest.mark.parametrize("field", [DayField(), MomentField()])
def test_a_year_of_five_digits_is_named(field, typed):
    with pytest.raises(ValidationError, match="The year 20226 cannot be right"):
        field.clean(typed)


@pytest.mark.parametrize("typed", ["soon", "2026-02-29", "31 June 2026", "2026", "14"])
def test_what_is_no_day_is_refused_with_an_example(typed):
    with pytest.raises(ValidationError, match="for example 14 May 2026"):
        DayField().clean(typed)
    with pytest.raises(ValidationError, match="for example 2026-05-14 16:30"):
        MomentField().clean(typed)


@pytest.mark.parametrize("typed", ["2026-05-14", "14 May 2026", "14/05/2026"])
def test_a_day_is_read_as_people_write_it(typed):
    assert DayField().clean(typed) == date(2026, 5, 14)


def test_no_form_of_the_shop_takes_a_day_without_these_words():
    for found in walk_packages(shop.__path__, "shop."):
        if ".forms" in found.name or found.name.endswith("_forms"):
            import_module(found.name)
    plain = {forms.DateField, forms.DateTimeField}
    ours = [each for each in _fields(_ShopForm) if each[0].__module__.startswith("shop.")]
    bare = [f"{form.__name__}.{name}" for form, name, field in ours if type(field) in plain]
    assert not bare


def _fields(form):
    for name, field in getattr(form, "base_fields", {}).items():
        yield form, name, field
    for further in form.__subclasses__():
        yield from _fields(further)
