"""What a supplier calls a part and asks for it: their number, and every price they ever named."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.base.seen_by import MoneyModelField
from shop.orders.models.currency import CurrencyField
from specs.models import Deletable, DeletableQuerySet, Versioned


class SupplierNumber(Versioned, Deletable):
    """That a supplier has a part, under their number; `is_usual` where the shop usually buys it there."""

    part = models.ForeignKey("stock.Part", on_delete=models.PROTECT, related_name="supplier_numbers")
    supplier = models.ForeignKey("Supplier", on_delete=models.PROTECT, related_name="part_numbers")
    number = models.CharField(gettext_lazy("supplier's number"), max_length=60, blank=True)
    is_usual = models.BooleanField(gettext_lazy("usually bought here"), default=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["-is_usual", "supplier__name", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint(
                fields=["part", "supplier"],
                condition=Q(deleted_at=None),
                name="suppliernumber_once",
                violation_error_message=gettext_lazy("This supplier is on record for the part already."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.supplier}: {self.number or gettext('no number')}"

    def get_absolute_url(self) -> str:
        return self.part.get_absolute_url()


class ListPrice(Deletable):
    """A price that a supplier named on a day, in a list or a quotation. Prices paid stand on the lines of orders."""

    part = models.ForeignKey("stock.Part", on_delete=models.PROTECT, related_name="list_prices")
    supplier = models.ForeignKey("Supplier", on_delete=models.PROTECT, related_name="list_prices")
    on = models.DateField("on")
    price = MoneyModelField(
        gettext_lazy("price each, without tax"), max_digits=10, decimal_places=2, validators=[MinValueValidator(0)]
    )
    currency = CurrencyField()
    from_quantity = models.DecimalField(
        gettext_lazy("from how many"),
        max_digits=8,
        decimal_places=2,
        default=Decimal(1),
        validators=[MinValueValidator(0)],
    )
    note = models.CharField(gettext_lazy("which list or quotation"), max_length=120, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["-on", "-pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(price__gte=0), name="listprice_not_negative"),
        ]

    def __str__(self) -> str:
        return gettext("price of {part} at {supplier} on {day}").format(
            part=self.part, supplier=self.supplier, day=written.day(self.on)
        )

    def get_absolute_url(self) -> str:
        return self.part.get_absolute_url()
