"""A form field's value as a person would say it."""

from collections.abc import Iterable
from datetime import date, datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.written import comma_moment, day
from specs.engine.parsing import TypedQuantity

NOTHING = gettext_lazy("nothing")


def value_text(field: forms.Field, value: Any, *, typed: bool = False) -> str:
    """The value in words; ``typed`` values are read as the form would read them, or given back as they stand."""
    if typed:
        try:
            value = field.clean(value)
        except ValidationError:
            return str(field.prepare_value(value) or NOTHING)
    return _say(field, value)


def _say(field: forms.Field, value: Any) -> str:
    if isinstance(field, forms.BooleanField):
        return gettext("yes") if value else gettext("no")
    if value in (None, "", []):
        return str(NOTHING)
    if isinstance(value, TypedQuantity):
        return value.typed
    if isinstance(value, datetime):
        return comma_moment(value)
    if isinstance(value, date):
        return day(value)
    if isinstance(field, forms.ModelMultipleChoiceField | forms.MultipleChoiceField):
        return ", ".join(_choice(field, one) for one in value) or str(NOTHING)
    if isinstance(field, forms.ChoiceField):
        return _choice(field, value)
    return str(field.prepare_value(value))


def _choice(field: Any, value: Any) -> str:
    if isinstance(field, forms.ModelChoiceField):
        choices: Any = field.queryset
        key = field.to_field_name or "pk"
        found = value if hasattr(value, "pk") else choices.filter(**{key: value}).first()
        return field.label_from_instance(found) if found else str(value)
    return str(dict(_flat(field.choices)).get(value, value))


def _flat(choices: Iterable[Any]) -> Iterable[tuple[Any, Any]]:
    for value, words in choices:
        if isinstance(words, list | tuple):
            yield from _flat(words)
        else:
            yield value, words
