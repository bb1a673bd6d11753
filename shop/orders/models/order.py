"""An order and its lines."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models, transaction
from django.db.models import Q
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base.money import Taxed, to_cents
from shop.base.seen_by import MoneyModelField
from shop.orders import rules
from shop.orders.amounts import Amounts
from shop.orders.line_status import KEPT, mark_suppliers, restate
from shop.orders.models.currency import CurrencyField
from shop.orders.queries import OrderLineQuerySet, OrderQuerySet
from specs.addresses import page_address
from specs.models import Deletable, Versioned


def shop_tax_percent() -> Decimal:
    """The rate that a new order starts with."""
    return settings.SHOP_TAX_PERCENT


class Order(Versioned, Deletable):
    """What was ordered from one supplier on one day, under our number and theirs."""

    supplier = models.ForeignKey("Supplier", on_delete=models.PROTECT, related_name="orders")
    number = models.CharField(gettext_lazy("our number"), max_length=30, unique=True, editable=False)
    reference = models.CharField(gettext_lazy("supplier's reference"), max_length=60, blank=True)
    ordered_on = models.DateField(gettext_lazy("ordered on"))
    ordered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="orders", editable=False
    )
    deposit = MoneyModelField(
        gettext_lazy("deposit paid"),
        max_digits=10,
        decimal_places=2,
        default=Decimal("0"),
        validators=[MinValueValidator(0)],
    )
    tax_percent = models.DecimalField(
        gettext_lazy("tax, %"),
        max_digits=5,
        decimal_places=2,
        default=shop_tax_percent,
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    discount_percent = models.DecimalField(
        gettext_lazy("discount, %"),
        max_digits=5,
        decimal_places=2,
        default=Decimal("0"),
        validators=[MinValueValidator(0), MaxValueValidator(100)],
    )
    freight = MoneyModelField(
        gettext_lazy("freight, without tax"),
        max_digits=10,
        decimal_places=2,
        default=Decimal("0"),
        validators=[MinValueValidator(0)],
    )
    # Prices, freight and deposit are in this currency; amounts in ours follow by the rate of the day.
    currency = CurrencyField()
    rate = models.DecimalField(
        gettext_lazy("one of it in our currency"),
        max_digits=12,
        decimal_places=6,
        null=True,
        blank=True,
        validators=[MinValueValidator(Decimal("0.000001"))],
    )
    sent_on = models.DateField(gettext_lazy("sent on"), null=True, editable=False)
    confirm_by = models.DateField(gettext_lazy("confirmation asked for by"), null=True, blank=True)
    confirmed_on = models.DateField(gettext_lazy("confirmed on"), null=True, editable=False)
    approved_amount = MoneyModelField(
        gettext_lazy("approved up to"), max_digits=12, decimal_places=2, null=True, editable=False
    )
    approved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, editable=False, related_name="+"
    )
    approved_at = models.DateTimeField(gettext_lazy("approved at"), null=True, editable=False)
    notes = models.TextField(blank=True, max_length=4000)

    history = HistoricalRecords()
    objects = OrderQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["-ordered_on", "-pk"]
        indexes = [
            models.Index(fields=["-ordered_on"], name="order_by_day"),
            # With the mark of deletion in it a list is counted and paged without a look at the rows.
            models.Index(fields=["-ordered_on", "id", "deleted_at"], name="order_list"),
            # Few are: without it PostgreSQL reads every order to leave out what came of them.
            models.Index(fields=["deleted_at"], condition=Q(deleted_at__isnull=False), name="order_deleted"),
        ]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(deposit__gte=0), name="order_deposit_not_negative"),
            models.CheckConstraint(
                condition=Q(discount_percent__gte=0, discount_percent__lte=100), name="order_discount_0_to_100"
            ),
            models.CheckConstraint(condition=Q(freight__gte=0), name="order_freight_not_negative"),
            models.CheckConstraint(
                condition=Q(currency="", rate=None) | (~Q(currency="") & Q(rate__gt=0)),
                name="order_currency_has_a_rate",
                violation_error_message=gettext_lazy("Give the day's rate of this currency."),
            ),
            models.CheckConstraint(condition=Q(tax_percent__gte=0, tax_percent__lte=100), name="order_tax_0_to_100"),
        ]

    def __str__(self) -> str:
        return self.number

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save it; its lines count their silence from the day it was ordered on, its supplier has or loses it."""
        with transaction.atomic():
            before = list(Order._base_manager.filter(pk=self.pk).values_list("supplier", flat=True))
            super().save(*args, **kwargs)
            if before:
                mark_suppliers([*before, self.supplier_id])
                restate(self.lines.values_list("pk", flat=True))

    def get_absolute_url(self) -> str:
        return page_address("orders:order", self.pk)

    def taxed(self, without_tax: Decimal) -> Taxed:
        """An amount of this order with the tax on it."""
        return Taxed(without_tax, self.tax_percent)

    def amounts(self, goods: Decimal) -> Amounts:
        """What this order comes to with goods of this amount: discount, freight, tax, and all of it in our currency."""
        return Amounts(goods, self.discount_percent, self.freight, self.tax_percent, self.rate or Decimal(1))

    def cost(self, goods: Decimal) -> Decimal:
        """What goods of this amount cost with the order's discount and tax, without its freight."""
        return Amounts(goods, self.discount_percent, Decimal(0), self.tax_percent).taxed.with_tax

    def in_ours(self, amount: Decimal) -> Decimal:
        """An amount of this order in the shop's currency, by the rate typed with the order."""
        return to_cents(amount * (self.rate or Decimal(1)))

    @property
    def currency_code(self) -> str:
        """The currency that its prices are in."""
        return self.currency or str(settings.SHOP_CURRENCY)


class OrderLine(Versioned):
    """One thing ordered: a component or words, how many, at what price each, for which need of which step."""

    order = models.ForeignKey(Order, on_delete=models.PROTECT, related_name="lines")
    position = models.PositiveIntegerField(default=1, editable=False)
    component = models.ForeignKey(
        "specs.Component", on_delete=models.PROTECT, null=True, blank=True, related_name="order_lines"
    )
    text = models.CharField(gettext_lazy("or in words"), max_length=200, blank=True)
    part = models.ForeignKey("stock.Part", on_delete=models.PROTECT, null=True, blank=True, related_name="order_lines")
    supplier_number = models.CharField(gettext_lazy("supplier's number of the part"), max_length=60, blank=True)
    quantity = models.DecimalField(
        max_digits=8, decimal_places=2, default=Decimal("1"), validators=[MinValueValidator(Decimal("0.01"))]
    )
    price = MoneyModelField(
        gettext_lazy("price each, without tax"),
        max_digits=10,
        decimal_places=2,
        default=Decimal("0"),
        validators=[MinValueValidator(0)],
    )
    part_need = models.ForeignKey(
        "jobs.PartNeed",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="order_lines",
        verbose_name=gettext_lazy("for which step"),
    )

    # Kept by `line_status.restate`, never written by a person; `awaited` says that something is left to come.
    left = models.DecimalField(
        gettext_lazy("still to come"), max_digits=10, decimal_places=2, blank=True, editable=False
    )
    awaited = models.BooleanField(default=True, editable=False)
    expected = models.DateField(gettext_lazy("promised for"), null=True, editable=False)
    first_promised = models.DateField(gettext_lazy("first promised for"), null=True, editable=False)
    promise_count = models.PositiveIntegerField(gettext_lazy("dates given"), default=0, editable=False)
    heard = models.DateField(gettext_lazy("last heard of"), blank=True, editable=False)
    came_on = models.DateField(gettext_lazy("last delivery"), null=True, editable=False)
    cancelled_on = models.DateField(gettext_lazy("last cancellation"), null=True, editable=False)
    undone = models.DecimalField(
        gettext_lazy("cancelled or returned for money"),
        max_digits=10,
        decimal_places=2,
        default=Decimal("0"),
        editable=False,
    )

    # What `overdue()` adds to each row.
    due: date

    history = HistoricalRecords(excluded_fields=list(KEPT))
    objects = OrderLineQuerySet.as_manager()

    class Meta:
        ordering = ["order", "position", "pk"]
        indexes = [
            models.Index(fields=["expected"], condition=Q(awaited=True), name="orderline_awaited"),
            # Few lines are of a job's part: by the index of all, SQLite reads every order rather.
            models.Index(fields=["part_need"], condition=Q(part_need__isnull=False), name="orderline_of_need"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=(Q(component__isnull=False) & Q(text="")) | (Q(component=None) & ~Q(text="")),
                name="orderline_component_or_words",
                violation_error_message=gettext_lazy("Choose a component, or describe the part in words; not both."),
            ),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="orderline_quantity_positive"),
            models.CheckConstraint(condition=Q(price__gte=0), name="orderline_price_not_negative"),
        ]

    def __str__(self) -> str:
        return self.what

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save it with what it owes: all of it at first, afterwards what is worked out again."""
        if self._state.adding:
            self.left, self.heard = self.quantity, self.order.ordered_on
            with transaction.atomic():
                super().save(*args, **kwargs)
                mark_suppliers([self.order.supplier_id])
            return
        with transaction.atomic():
            super().save(*args, **kwargs)
            for name, value in restate([self.pk]).get(self.pk, {}).items():
                setattr(self, name, value)

    def get_absolute_url(self) -> str:
        return f"{page_address('orders:order', self.order_id)}#line-{self.pk}"

    @property
    def what(self) -> str:
        """What was ordered, in words."""
        return str(self.component) if self.component_id else self.text

    @property
    def price_in_ours(self) -> Decimal:
        """The price each, less the order's discount, in the shop's currency."""
        return self.order.in_ours(self.price * (100 - self.order.discount_percent) / 100)

    @property
    def is_for_shelf(self) -> bool:
        """Whether what comes of it goes on the shelf: a part of ours, bought for no step."""
        return self.part_id is not None and self.part_need_id is None

    @property
    def amount(self) -> Decimal:
        """Quantity times price without tax, rounded to the cent (the rule stands in `shop.base.money`)."""
        return to_cents(self.quantity * self.price)

    @property
    def amount_now(self) -> Decimal:
        """The amount without what was cancelled or returned for money."""
        return to_cents((self.quantity - self.undone) * self.price)

    def stands_in_for(self, component: int | None) -> bool:
        """Whether it is of another component than the one that was needed (its key; None: needed in words)."""
        return bool(component and self.component_id and component != self.component_id)

    def age(self, today: date) -> int:
        """Days since it was ordered."""
        return (today - self.order.ordered_on).days

    def as_rule(self) -> rules.LineFacts:
        """The line as the rules see it. Reads promises, events and chases: prefetch them (`with_story`)."""
        answered = [chase.answered_on for chase in self.order.chases.all() if chase.counts and chase.answered_on]
        return rules.LineFacts(
            what=self.what,
            ordered_on=self.order.ordered_on,
            quantity=self.quantity,
            promises=tuple(promise.as_rule() for promise in self.promises.all() if not promise.is_deleted),
            events=self._events(),
            last_heard=max(answered, default=None),
            supplier_insolvent_on=self.order.supplier.insolvent_on,
        )

    def _events(self) -> tuple[rules.EventFacts, ...]:
        rows = [*self.deliveries.all(), *self.returns.all(), *self.cancellations.all()]
        return tuple(row.as_rule() for row in rows if not row.is_deleted)
