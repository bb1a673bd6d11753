"""What happened to a line: pieces delivered, sent back, cancelled. Added to, never edited."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models, transaction
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.base.language import word
from shop.base.money import to_cents
from shop.base.seen_by import MoneyModelField
from shop.orders import rules
from shop.orders.line_status import ChangesALine
from shop.orders.shelf import keep_on_shelf
from specs.models import Deletable, DeletableQuerySet


class LineEvent(ChangesALine, Deletable):
    """So many pieces of a line, on a day, recorded by somebody."""

    on = models.DateField("on")
    quantity = models.DecimalField(
        gettext_lazy("how many"), max_digits=8, decimal_places=2, validators=[MinValueValidator(Decimal("0.01"))]
    )
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)
    # What it changed on the shelf: follows it by `shelf.keep_on_shelf`.
    movement = models.OneToOneField(
        "stock.Movement", on_delete=models.PROTECT, null=True, editable=False, related_name="of_%(class)s"
    )

    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        abstract = True
        ordering = ["on", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(quantity__gt=0), name="%(class)s_quantity_positive"),
        ]

    @property
    def kind(self) -> rules.LineEventKind:
        raise NotImplementedError

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save it, and with it what it changed on the shelf."""
        with transaction.atomic():
            if keep_on_shelf(self) and kwargs.get("update_fields") is not None:
                kwargs["update_fields"] = {*kwargs["update_fields"], "movement"}
            super().save(*args, **kwargs)

    def __str__(self) -> str:
        return gettext("{quantity} {what} on {day}").format(
            quantity=written.count(self.quantity), what=word(self.kind), day=written.day(self.on)
        )

    @property
    def delete_address(self) -> str:
        return reverse(f"orders:{self._meta.model_name}-delete", args=[self.pk])

    def as_rule(self) -> rules.EventFacts:
        return rules.EventFacts(self.kind, self.on, self.quantity)


class MoneyBack(models.Model):
    """What the supplier owes the shop for pieces that were sent back or cancelled, and when it came."""

    money_back: Any
    money_back_on = models.DateField(gettext_lazy("money came on"), null=True, blank=True)

    class Meta:
        abstract = True

    @property
    def money_owed(self) -> Decimal:
        """What the supplier owes, or paid back since."""
        raise NotImplementedError

    @property
    def credited(self) -> Decimal:
        """What the supplier's credit notes of it come to, whether the money came or not."""
        return sum((credit.amount for credit in self._credits()), Decimal(0))

    @property
    def still_owed(self) -> Decimal:
        """What has not come yet of the money owed."""
        if self.money_back_on is not None:
            return Decimal(0)
        came = sum((credit.amount for credit in self._credits() if credit.came_on), Decimal(0))
        return max(Decimal(0), self.money_owed - came)

    @property
    def owes_money(self) -> bool:
        return bool(self.still_owed)

    def _credits(self) -> list[Any]:
        if self._state.adding:
            return []
        return [credit for credit in self.credits.all() if not credit.is_deleted]  # type: ignore[attr-defined]

    def settle(self) -> None:
        """Keep the day on which the last of the money came, or that it is owed again. Called by every credit saved."""
        came = [credit for credit in self._credits() if credit.came_on]
        total, owed = sum((credit.amount for credit in came), Decimal(0)), self.money_owed
        settled_on = max(credit.came_on for credit in came) if came and total >= owed else None
        if settled_on != self.money_back_on:
            self.money_back, self.money_back_on = owed, settled_on  # a price corrected later changes nothing that came
            self.save()

    @property
    def credit_address(self) -> str:
        """The page on which a credit note for it is recorded."""
        return reverse(f"orders:credit-{self._meta.model_name}", args=[self.pk])

    @property
    def money_address(self) -> str:
        """The page on which its coming is recorded."""
        return reverse(f"orders:{self._meta.model_name}-money", args=[self.pk])


class Delivery(LineEvent):
    """Pieces that came."""

    line = models.ForeignKey("OrderLine", on_delete=models.PROTECT, related_name="deliveries")
    note = models.CharField(gettext_lazy("delivery note, or what was noticed"), max_length=200, blank=True)
    history = HistoricalRecords()

    class Meta(LineEvent.Meta):
        verbose_name_plural = gettext_lazy("deliveries")
        indexes = [
            models.Index(fields=["-on"], name="delivery_by_day"),
            models.Index(fields=["-on", "id", "deleted_at", "line"], name="delivery_list"),
        ]

    @property
    def kind(self) -> rules.LineEventKind:
        return rules.LineEventKind.DELIVERED


class Return(LineEvent, MoneyBack):
    """Wrong or faulty pieces that went back, to be replaced or paid back."""

    line = models.ForeignKey("OrderLine", on_delete=models.PROTECT, related_name="returns")
    reason = models.CharField(gettext_lazy("what is wrong with it"), max_length=200)
    to_be_replaced = models.BooleanField(gettext_lazy("the supplier sends it again"), default=True)
    # None: nobody said how much, as whoever may not see prices never can.
    money_back = MoneyModelField(
        gettext_lazy("money to get back"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )
    # Kept by the room of the invoices (shop/payables/unbilled.py), never written by a person.
    unbilled = models.DecimalField(
        gettext_lazy("pieces of it that no invoice asks for"),
        max_digits=8,
        decimal_places=2,
        default=Decimal("0"),
        editable=False,
    )
    history = HistoricalRecords()

    class Meta(LineEvent.Meta):
        constraints = [
            *LineEvent.Meta.constraints,
            models.CheckConstraint(condition=Q(money_back__gte=0), name="return_money_not_negative"),
        ]

    @property
    def kind(self) -> rules.LineEventKind:
        kind = rules.LineEventKind
        return kind.RETURNED_FOR_REPLACEMENT if self.to_be_replaced else kind.RETURNED_FOR_MONEY

    @property
    def may_be_credited(self) -> bool:
        """Whether it is to be sent again and nobody spoke of money: a credit note for it asks which of the two."""
        return self.to_be_replaced and not self.money_owed and not self.is_deleted

    @property
    def money_owed(self) -> Decimal:
        """What was said; else the line's price of the pieces billed with the order's tax, unless they are replaced."""
        if self.money_back is not None:
            return self.money_back
        price = Decimal(0) if self.to_be_replaced else self.line.price
        return self.line.order.cost(to_cents((self.quantity - self.unbilled) * price))

    @property
    def is_spared(self) -> bool:
        """Whether all of it went back unbilled: there is nothing to be paid back."""
        return self.money_back is None and self.unbilled >= self.quantity


class Cancellation(LineEvent, MoneyBack):
    """Pieces that need not come any more."""

    line = models.ForeignKey("OrderLine", on_delete=models.PROTECT, related_name="cancellations")
    reason = models.CharField(max_length=200)
    money_back = MoneyModelField(
        gettext_lazy("money to get back"),
        max_digits=10,
        decimal_places=2,
        default=Decimal("0"),
        validators=[MinValueValidator(0)],
    )
    history = HistoricalRecords()

    class Meta(LineEvent.Meta):
        constraints = [
            *LineEvent.Meta.constraints,
            models.CheckConstraint(condition=Q(money_back__gte=0), name="cancellation_money_not_negative"),
        ]

    @property
    def kind(self) -> rules.LineEventKind:
        return rules.LineEventKind.CANCELLED

    @property
    def money_owed(self) -> Decimal:
        return self.money_back
