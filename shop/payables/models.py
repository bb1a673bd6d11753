"""What suppliers ask for what they delivered: their invoices, and the deliveries that each is for."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, Prefetch, Q
from django.db.models.functions import Lower
from django.urls import reverse
from simple_history.models import HistoricalRecords

from shop.base.money import to_cents
from shop.base.search import SearchQuerySet
from shop.base.seen_by import MoneyModelField
from specs.models import Deletable, Versioned


class InvoiceQuerySet(SearchQuerySet):
    searched = ("number", "supplier__name", "matched__delivery__line__order__number")

    def search(self, text: str):
        return super().search(text).distinct()

    def with_deliveries(self):
        """Invoices with all that their amounts are held against: a constant number of queries."""
        matched = InvoicedDelivery.objects.select_related("delivery__line__order", "delivery__line__component")
        return self.select_related("supplier").prefetch_related(Prefetch("matched", matched))


class Invoice(Versioned, Deletable):
    """One invoice of a supplier. Its amount is as the paper says, with tax; what it is for are deliveries."""

    supplier = models.ForeignKey("orders.Supplier", on_delete=models.PROTECT, related_name="invoices", editable=False)
    number = models.CharField("their invoice number", max_length=60)
    on = models.DateField("invoice date")
    due = models.DateField("due")
    amount = MoneyModelField(
        "amount with tax", max_digits=10, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))]
    )
    freight = MoneyModelField(
        "freight on it, without tax",
        max_digits=10,
        decimal_places=2,
        default=Decimal("0"),
        validators=[MinValueValidator(0)],
    )
    paid_on = models.DateField("paid on", null=True, blank=True, editable=False)
    paid = MoneyModelField("amount paid", max_digits=10, decimal_places=2, null=True, blank=True, editable=False)
    set_off = MoneyModelField("credits set off", max_digits=10, decimal_places=2, default=Decimal("0"), editable=False)
    difference_reason = models.CharField("why it was paid although it differs", max_length=200, blank=True)
    notes = models.TextField(blank=True, max_length=2000)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, editable=False, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    history = HistoricalRecords()
    objects = InvoiceQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["-on", "-pk"]
        indexes = [models.Index(fields=["-on"], name="invoice_by_day")]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(amount__gt=0), name="invoice_amount_positive"),
            models.CheckConstraint(condition=Q(due__gte=F("on")), name="invoice_due_after_its_date"),
            models.CheckConstraint(
                condition=Q(paid_on=None) | Q(paid__gte=0),
                name="invoice_paid_with_amount",
            ),
            models.UniqueConstraint(
                "supplier",
                Lower("number"),
                condition=Q(deleted_at=None),
                name="invoice_once_a_supplier",
                violation_error_message="There is an invoice with this number of this supplier on record already.",
            ),
        ]

    def __str__(self) -> str:
        return f"invoice {self.number}"

    def get_absolute_url(self) -> str:
        return reverse("payables:invoice", args=[self.pk])

    def deliveries(self) -> list[Any]:
        """The deliveries that it is for and that still count."""
        found = (one.delivery for one in self.matched.all())
        return [one for one in found if not one.is_deleted and not one.line.order.is_deleted]

    @property
    def delivered(self) -> Decimal:
        """What its deliveries cost as ordered, with tax worked out once an order."""
        sums: dict[int, tuple[Any, Decimal]] = {}
        for one in self.deliveries():
            order, so_far = one.line.order, sums.get(one.line.order_id, (None, Decimal(0)))[1]
            sums[order.pk] = order, so_far + to_cents(one.quantity * one.line.price)
        costs = [order.cost(total) for order, total in sums.values()]
        carriage = [order.taxed(self.freight).with_tax for order, _ in list(sums.values())[:1]]
        return sum([*costs, *carriage], Decimal(0))

    def orders(self) -> list[Any]:
        """The orders that its deliveries are of, each once."""
        return list({one.line.order_id: one.line.order for one in self.deliveries()}.values())

    @property
    def currency_code(self) -> str:
        """The currency of its amounts: that of the orders it is for, else the supplier's own."""
        orders = self.orders()
        own = self.supplier.currency or str(settings.SHOP_CURRENCY)
        return orders[0].currency_code if orders else own

    @property
    def difference(self) -> Decimal:
        """By how much the invoice is above what was delivered; negative where it is below."""
        return self.amount - self.delivered

    @property
    def is_paid(self) -> bool:
        return self.paid_on is not None


class InvoicedDelivery(models.Model):
    """That an invoice is for a delivery."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="matched")
    delivery = models.ForeignKey("orders.Delivery", on_delete=models.PROTECT, related_name="invoiced")

    history = HistoricalRecords()

    class Meta:
        ordering = ["delivery__on", "pk"]
        constraints = [models.UniqueConstraint(fields=["invoice", "delivery"], name="invoiced_delivery_once")]

    def __str__(self) -> str:
        return f"{self.delivery} on {self.invoice}"


class SetOff(models.Model):
    """That a credit note was taken off what was paid of an invoice."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="credits")
    credit = models.OneToOneField("orders.Credit", on_delete=models.PROTECT, related_name="set_off")

    history = HistoricalRecords()

    def __str__(self) -> str:
        return f"{self.credit} set off against {self.invoice}"
