"""Who may see money, declared once: on the model's field that holds it, or on a column, form field or panel of its own.

A declaration names an action in ``seen_by``. What shows a field derives from it: lists and their files, filters, forms,
pages (``{% money %}``) and panels leave out what their reader may not see. What parts cost is seen by owner and buyer;
rates, quotes, margins and invoices of the shop by the owner and whom the owner names.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django.core.exceptions import FieldDoesNotExist
from django.db import models

from shop.base.roles import Person, may

PART_PRICES = "orders.prices"
OWN_MONEY = "people.money"


class MoneyModelField(models.DecimalField):
    """An amount of money on a record. To the database it is a decimal number, so declaring it needs no migration."""

    def __init__(self, *args: Any, seen_by: str = PART_PRICES, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.seen_by = seen_by

    def deconstruct(self) -> tuple[str, str, Any, Any]:
        name, _, args, kwargs = super().deconstruct()
        return name, "django.db.models.DecimalField", args, kwargs

    def clone(self) -> MoneyModelField:
        copy = super().clone()
        copy.seen_by = self.seen_by
        return copy


def seen_by(shown: Any, model: type[models.Model] | None = None, path: str = "") -> str:
    """The action that seeing this column or form field takes: its own, or that of the model's field it shows; or ""."""
    own: str = getattr(shown, "seen_by", "")
    return own or (_stored(model, path) if model is not None else "")


def _stored(model: type[models.Model], path: str) -> str:
    """What the field at the end of a path such as "order__deposit" declares; "" where the path leads to no field."""
    owner, _, rest = path.replace(".", "__").partition("__")
    try:
        field: Any = model._meta.get_field(owner)
    except FieldDoesNotExist:
        return ""
    if rest and field.related_model:
        return _stored(field.related_model, rest)
    return getattr(field, "seen_by", "")


def hidden_names(person: Person | None, declared: Mapping[str, str]) -> list[str]:
    """The names whose action this person may not do; none for a form or table that no person reads."""
    if person is None:
        return []
    return [name for name, action in declared.items() if action and not may(person, action)]
