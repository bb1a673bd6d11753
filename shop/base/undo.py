"""Undoing a deletion by one press, from the record's page and from the list's filter "deleted".

Each room declares in ``shop/<room>/undo.py`` what can be brought back, and the action that allows it::

    UNDO = [Undo(Customer, "vehicles.manage")]
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.apps import apps
from django.db import models, transaction
from django.urls import reverse

from shop.base.declared import declared
from shop.base.records import restore_record
from shop.base.roles import Person, may, require
from shop.base.unchanged import while_unchanged


@dataclass(frozen=True)
class Undo:
    """A kind of record that can be brought back. ``check`` refuses in words what its room has no place for any more.

    ``on_page_of`` names the field whose record's page shows the deleted ones (``{% deleted_of job %}``), for a kind
    without a list; ``related`` what their names are made of.
    """

    model: type[models.Model]
    action: str
    check: Callable[[Any], None] | None = None
    on_page_of: str = ""
    related: tuple[str, ...] = ()


@cache
def undos() -> dict[str, Undo]:
    """Every kind that the rooms declare, by its label, such as "vehicles.customer"."""
    return {undo.model._meta.label_lower: undo for undo in declared("undo", "UNDO")}


@transaction.atomic
def undo_deletion(*, record: models.Model, person: Person) -> models.Model:
    """Bring a deleted record back. Raises PermissionDenied, or ValidationError in words where it cannot come back."""
    undo = undos()[record._meta.label_lower]
    require(person, undo.action)
    if undo.check is not None:
        undo.check(record)
    return restore_record(record, person=person)


def undo_address(record: models.Model, person: Person) -> str:
    """The address of the button that undoes a deletion; "" where this person may not, or nothing was deleted."""
    undo = undos().get(record._meta.label_lower)
    if undo is None or not record.is_deleted or not may(person, undo.action):  # type: ignore[attr-defined]
        return ""
    return reverse("home:undo", args=[record._meta.label_lower, record.pk])


def deleted_of(owner: models.Model) -> list[models.Model]:
    """Everything deleted that belongs to a record and is shown on its page, the last deleted first."""
    return _deleted_of(owner._meta.label_lower, owner.pk)


@while_unchanged
def _deleted_of(kind: str, key: int) -> list[models.Model]:
    owner, found = apps.get_model(kind), list[Any]()
    for undo in undos().values():
        if undo.on_page_of and undo.model._meta.get_field(undo.on_page_of).related_model is owner:
            rows = undo.model._default_manager.filter(**{undo.on_page_of: key}, deleted_at__isnull=False)
            found += rows.select_related("deleted_by", *undo.related)
    return sorted(found, key=lambda record: record.deleted_at, reverse=True)
