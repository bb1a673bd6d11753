"""What suppliers ask for what they delivered: their invoices, line by line, and the deliveries that each is for."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import F, OuterRef, Q, Sum, Value
from django.db.models.functions import Coalesce, Lower
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base.search import SearchQuerySet
from shop.base.seen_by import MoneyModelField
from shop.orders.models import Cancellation, Delivery, Return
from shop.payables import rules
from specs.addresses import page_address
from specs.models import Deletable, Versioned
from specs.models.base import Stored
from specs.row_queries import OfEachRow, OfKeys, read_related
from specs.written import num


class InvoiceQuerySet(SearchQuerySet):
    searched = ("number", "supplier__name", "lines__line__order__number")

    def search(self, text: str):
        return super().search(text).distinct()

    def with_lines(self):
        """Invoices with all that their amounts are held against: a constant number of queries."""
        return self.select_related("supplier").annotate(freight_before=_freight_before()).after_fetch(_read_lines)


def _read_lines(invoices: Iterable[Invoice]) -> None:
    found = list(invoices)
    read_related(found, "lines", _lines_of_invoices)
    lines = [one.line for invoice in found for one in invoice.lines.all()]
    for name, (rows, to_attr) in _READ_OF_LINES.items():
        read_related(lines, name, rows, to_attr)


_lines_of_invoices = OfKeys(
    lambda keys: InvoicedLine.objects.filter(invoice__in=keys).select_related("line__order", "line__component")
)
# As lists: to answer from a manager what was fetched takes longer than to fetch it.
_READ_OF_LINES = {
    "deliveries": (OfKeys(lambda keys: Delivery.objects.filter(line__in=keys)), "every_delivery"),
    "returns": (OfKeys(lambda keys: Return.objects.filter(line__in=keys).prefetch_related("credits")), "every_return"),
    "cancellations": (OfKeys(lambda keys: Cancellation.objects.filter(line__in=keys)), "every_cancellation"),
    "billed": (
        OfKeys(lambda keys: InvoicedLine.objects.filter(line__in=keys).select_related("invoice")),
        "every_bill",
    ),
}


def _freight_before() -> Coalesce:
    """The freight on earlier invoices of the orders that the outer invoice is of."""
    mine = InvoicedLine.objects.filter(invoice=OuterRef(OuterRef(OuterRef("pk")))).values("line__order")
    shared = InvoicedLine.objects.filter(line__order__in=mine).order_by().values("invoice")
    # Not by the key itself: SQLite may then go through all that were ever earlier, and look at each for the order.
    earlier = Invoice.objects.annotate(key=F("pk") + 0).filter(pk__in=shared, deleted_at=None, key__lt=OuterRef("pk"))
    total = earlier.order_by().values("supplier").annotate(total=Sum("freight")).values("total")
    field = models.DecimalField(max_digits=12, decimal_places=2)
    return Coalesce(OfEachRow(total, output_field=field), Value(Decimal(0)), output_field=field)


class Invoice(Versioned, Deletable):
    """One invoice of a supplier: its amounts are as the paper says, its lines are pieces of order lines."""

    supplier = models.ForeignKey("orders.Supplier", on_delete=models.PROTECT, related_name="invoices", editable=False)
    number = models.CharField(gettext_lazy("their invoice number"), max_length=60)
    on = models.DateField(gettext_lazy("invoice date"))
    due = models.DateField("due")
    amount = MoneyModelField(
        gettext_lazy("amount with tax"),
        max_digits=10,
        decimal_places=2,
        validators=[MinValueValidator(Decimal("0.01"))],
    )
    freight = MoneyModelField(
        gettext_lazy("freight on it, without tax"),
        max_digits=10,
        decimal_places=2,
        default=Decimal("0"),
        validators=[MinValueValidator(0)],
    )
    # Empty: as agreed with the order, as its lines and rates give it.
    discount = MoneyModelField(
        gettext_lazy("discount on it, without tax"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    tax = MoneyModelField(
        gettext_lazy("tax on it"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    paid_on = models.DateField(gettext_lazy("paid on"), null=True, blank=True, editable=False)
    paid = MoneyModelField(
        gettext_lazy("amount paid"), max_digits=10, decimal_places=2, null=True, blank=True, editable=False
    )
    set_off = MoneyModelField(
        gettext_lazy("credits set off"), max_digits=10, decimal_places=2, default=Decimal("0"), editable=False
    )
    difference_reason = models.CharField(
        gettext_lazy("why it was paid although it differs"), max_length=200, blank=True
    )
    notes = models.TextField(blank=True, max_length=2000)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, editable=False, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    # What `with_lines` adds to each row.
    freight_before: Decimal

    history = HistoricalRecords()
    objects = InvoiceQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["-on", "-pk"]
        indexes = [
            models.Index(fields=["-on"], name="invoice_by_day"),
            models.Index(fields=["-on", "id", "deleted_at"], name="invoice_list"),
            models.Index(fields=["paid_on", "-on", "id", "deleted_at"], name="invoice_list_unpaid"),
        ]
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
                violation_error_message=gettext_lazy(
                    "There is an invoice with this number of this supplier on record already."
                ),
            ),
        ]

    def __str__(self) -> str:
        return gettext("invoice {number}").format(number=self.number)

    def ordered_in(self) -> set[int]:
        """The keys of the orders that its lines are of."""
        return set(self.lines.values_list("line__order", flat=True))

    def get_absolute_url(self) -> str:
        return page_address("payables:invoice", self.pk)

    def deliveries(self) -> list[Any]:
        """The deliveries that it is for and that still count."""
        found = (one.delivery for one in self.matched.all())
        return [one for one in found if not one.is_deleted and not one.line.order.is_deleted]

    def held_against(self) -> rules.InvoiceFacts:
        """What it says, and what it is held against. Reads what `with_lines` fetches."""
        return rules.InvoiceFacts(
            lines=tuple(one.as_rule() for one in self.lines.all() if not one.line.order.is_deleted),
            orders={order.pk: order.amounts(Decimal(0)) for order in self.orders()},
            amount=self.amount,
            freight=self.freight,
            freight_before=self.freight_before,
            discount=self.discount,
            tax=self.tax,
        )

    @property
    def delivered(self) -> Decimal:
        """What came of its lines and is on no earlier invoice costs as ordered, with tax worked out once an order."""
        return self.held_against().delivered

    def orders(self) -> list[Any]:
        """The orders that its lines are of, each once."""
        found = {one.line.order_id: one.line.order for one in self.lines.all() if not one.line.order.is_deleted}
        return list(found.values())

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


class InvoicedLine(Stored):
    """So many pieces of an order line on an invoice, at the price each that the paper says."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="lines")
    line = models.ForeignKey("orders.OrderLine", on_delete=models.PROTECT, related_name="billed")
    quantity = models.DecimalField(
        gettext_lazy("how many"), max_digits=8, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))]
    )
    price = MoneyModelField(
        gettext_lazy("price each, without tax"), max_digits=10, decimal_places=2, validators=[MinValueValidator(0)]
    )

    history = HistoricalRecords()

    class Meta:
        ordering = ["line__order", "line__position", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["invoice", "line"], name="invoicedline_once"),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="invoicedline_quantity_positive"),
            models.CheckConstraint(condition=Q(price__gte=0), name="invoicedline_price_not_negative"),
        ]

    def __str__(self) -> str:
        return gettext("{quantity} × {line} on {invoice}").format(
            quantity=num(self.quantity), line=self.line, invoice=self.invoice
        )

    def as_rule(self) -> rules.Billed:
        """The line as the rules see it. Reads what `Invoice.with_lines` fetches."""
        line: Any = self.line
        came, back = counting(line.every_delivery), counting(line.every_return)
        again = sum((one.quantity for one in back if one.to_be_replaced), Decimal(0))
        others = [one for one in line.every_bill if one.invoice_id != self.invoice_id and _first(one, self)]
        return rules.Billed(
            what=line.what,
            order=line.order_id,
            quantity=self.quantity,
            price=self.price,
            ordered=line.quantity,
            ordered_price=line.price,
            came=sum((one.quantity for one in came), Decimal(0)) - again,
            left=line.left,
            cancelled=sum((one.quantity for one in counting(line.every_cancellation)), Decimal(0)),
            uncredited=sum((one.quantity for one in back if not one.to_be_replaced and not one.credited), Decimal(0)),
            elsewhere=tuple((one.invoice.number, one.quantity) for one in others),
        )


def counting(rows: Iterable[Any]) -> list[Any]:
    """Of records that were fetched those that nobody deleted."""
    return [one for one in rows if not one.is_deleted]


def _first(other: InvoicedLine, mine: InvoicedLine) -> bool:
    """Whether another invoice of the line comes before this one: it is paid, or was recorded earlier."""
    invoice = other.invoice
    return not invoice.is_deleted and (invoice.is_paid or invoice.pk < mine.invoice_id)


class InvoicedDelivery(Stored):
    """That an invoice is for a delivery."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="matched")
    delivery = models.ForeignKey("orders.Delivery", on_delete=models.PROTECT, related_name="invoiced")

    history = HistoricalRecords()

    class Meta:
        ordering = ["delivery__on", "pk"]
        constraints = [models.UniqueConstraint(fields=["invoice", "delivery"], name="invoiced_delivery_once")]

    def __str__(self) -> str:
        return gettext("{delivery} on {invoice}").format(delivery=self.delivery, invoice=self.invoice)


class SetOff(Stored):
    """That a credit note was taken off what was paid of an invoice."""

    invoice = models.ForeignKey(Invoice, on_delete=models.PROTECT, related_name="credits")
    credit = models.OneToOneField("orders.Credit", on_delete=models.PROTECT, related_name="set_off")

    history = HistoricalRecords()

    def __str__(self) -> str:
        return gettext("{credit} set off against {invoice}").format(credit=self.credit, invoice=self.invoice)
