"""A phone shows the keys for what a field takes."""

import copy
from collections.abc import Iterator

from django import forms
from django.urls import get_resolver

from shop.base.fields import UnitField
from shop.base.forms import PHONES, plain_widget
from shop.base.forms import Form as ShopForm
from shop.base.forms import ModelForm as ShopModelForm


def every_form(of: type) -> Iterator[type[forms.BaseForm]]:
    for one in of.__subclasses__():
        yield one
        yield from every_form(one)


def keys_wanted(name: str, field: forms.Field) -> str:
    if isinstance(field, UnitField):
        return "text"  # a unit or a fraction may be typed
    if isinstance(field, forms.IntegerField):  # and so every number
        return "numeric" if type(field) is forms.IntegerField else "decimal"
    return "email" if type(field) is forms.EmailField else "tel" if name in PHONES else ""


def test_every_field_of_every_form_has_the_keys_for_what_it_takes() -> None:
    assert get_resolver().url_patterns  # every view is loaded, and with it every form
    wrong, seen = [], 0
    for form in {*every_form(ShopForm), *every_form(ShopModelForm)}:
        for name, declared in form.base_fields.items():
            wanted, field = keys_wanted(name, declared), copy.deepcopy(declared)
            plain_widget(name, field)
            if wanted and not field.widget.is_hidden:
                seen += 1
                if field.widget.attrs.get("inputmode") != wanted or field.widget.input_type == "number":
                    wrong.append((form.__name__, name, wanted, field.widget.attrs.get("inputmode")))
    assert wrong == []
    assert seen > 40
