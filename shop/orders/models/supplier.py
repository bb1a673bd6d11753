"""Who the shop buys from."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.db.models.functions import Lower
from django.urls import reverse
from simple_history.models import HistoricalRecords

from shop.orders.line_status import new_mark
from shop.orders.queries import SupplierQuerySet
from specs.models import Deletable, Versioned


class Supplier(Versioned, Deletable):
    """A firm that the shop orders from, and how to reach it."""

    name = models.CharField(max_length=120)
    contact = models.CharField("whom to ask for", max_length=120, blank=True)
    email = models.EmailField("e-mail", blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True, max_length=500)
    account = models.CharField("our customer number there", max_length=40, blank=True)
    notes = models.TextField(blank=True, max_length=4000)

    # Another one after each change to an order of theirs: what was worked out from their orders counts under it.
    record_mark = models.BigIntegerField(default=new_mark, editable=False)

    history = HistoricalRecords(excluded_fields=["record_mark"])
    objects = SupplierQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["name", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint(
                Lower("name"),
                condition=models.Q(deleted_at=None),
                name="supplier_name_once",
                violation_error_message="There is already a supplier of this name.",
            ),
        ]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save it under another mark: the one that was read may be an old one."""
        self.record_mark = new_mark()
        super().save(*args, **kwargs)

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return reverse("orders:supplier", args=[self.pk])
