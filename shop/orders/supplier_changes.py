"""Writing whom else to ask at a supplier, and when it is closed."""

from __future__ import annotations

from datetime import datetime
from typing import TypeVar

from django.contrib.auth.models import User
from django.db import transaction

from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.orders.models import LetterTexts, SupplierClosure, SupplierContact

OfSupplier = TypeVar("OfSupplier", SupplierContact, SupplierClosure)


@transaction.atomic
def save_of_supplier(record: OfSupplier, *, person: User) -> OfSupplier:
    """Keep a further contact, or days on which a supplier is closed. Raises Stale."""
    require(person, "orders.order")
    record.full_clean()
    return save_as(record, person=person)


@transaction.atomic
def save_letter_texts(texts: LetterTexts, *, person: User) -> LetterTexts:
    """Keep what the shop writes in a supplier's language. Raises Stale."""
    require(person, "orders.order")
    texts.full_clean()
    return save_as(texts, person=person)


@transaction.atomic
def delete_of_supplier(record: OfSupplier, *, reason: str, person: User, now: datetime) -> OfSupplier:
    """Take back a contact or a closure."""
    require(person, "orders.order")
    return delete_record(record, person=person, reason=reason, now=now)
