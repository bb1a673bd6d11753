"""Who the shop buys from."""

from __future__ import annotations

from typing import Any

from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.db.models.functions import Lower
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.base.seen_by import MoneyModelField
from shop.orders.line_status import new_mark
from shop.orders.models.currency import CurrencyField
from shop.orders.queries import SupplierQuerySet
from specs.addresses import page_address
from specs.models import Deletable, DeletableQuerySet, Versioned


class Supplier(Versioned, Deletable):
    """A firm that the shop orders from, and how to reach it."""

    name = models.CharField(max_length=120)
    contact = models.CharField(gettext_lazy("whom to ask for"), max_length=120, blank=True)
    email = models.EmailField("e-mail", blank=True)
    phone = models.CharField(max_length=40, blank=True)
    address = models.TextField(blank=True, max_length=500)
    account = models.CharField(gettext_lazy("our customer number there"), max_length=40, blank=True)
    language = models.CharField(gettext_lazy("language to write in"), max_length=40, blank=True)
    currency = CurrencyField()
    terms = models.CharField(gettext_lazy("terms of payment"), max_length=200, blank=True)
    delivery_days = models.PositiveIntegerField(
        gettext_lazy("usual days from order to delivery"), null=True, blank=True, validators=[MaxValueValidator(730)]
    )
    minimum_order = MoneyModelField(
        gettext_lazy("minimum order, in their currency"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    notes = models.TextField(blank=True, max_length=4000)
    insolvent_on = models.DateField(gettext_lazy("insolvent since"), null=True, blank=True)

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
                violation_error_message=gettext_lazy("There is already a supplier of this name."),
            ),
        ]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save it under another mark: the one that was read may be an old one."""
        self.record_mark = new_mark()
        super().save(*args, **kwargs)

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return page_address("orders:supplier", self.pk)


class SupplierContact(Versioned, Deletable):
    """A further person at a supplier: who they are, and how to reach them."""

    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="contacts")
    name = models.CharField(max_length=120)
    role = models.CharField(gettext_lazy("what for"), max_length=80, blank=True)
    email = models.EmailField("e-mail", blank=True)
    phone = models.CharField(max_length=40, blank=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["name", "pk"]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return self.supplier.get_absolute_url()


class SupplierClosure(Deletable):
    """Days on which a supplier is closed, from the first to the last."""

    supplier = models.ForeignKey(Supplier, on_delete=models.PROTECT, related_name="closures")
    first = models.DateField(gettext_lazy("closed from"))
    last = models.DateField("to")
    note = models.CharField("why", max_length=120, blank=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["first", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(last__gte=F("first")), name="supplierclosure_days"),
        ]

    def __str__(self) -> str:
        return gettext("{first} to {last}").format(first=written.day(self.first), last=written.day(self.last))

    def get_absolute_url(self) -> str:
        return self.supplier.get_absolute_url()
