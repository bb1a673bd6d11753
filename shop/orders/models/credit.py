"""What a supplier gives back for pieces that went back or were cancelled: a credit note, and the day its money came."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models, transaction
from django.db.models import Q
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.base.seen_by import MoneyModelField
from specs.models import Deletable, DeletableQuerySet, Versioned


class Credit(Versioned, Deletable):
    """One amount credited for a return or a cancellation, with tax. Until `came_on` it is on paper only."""

    returned = models.ForeignKey(
        "Return", on_delete=models.PROTECT, null=True, blank=True, editable=False, related_name="credits"
    )
    cancelled = models.ForeignKey(
        "Cancellation", on_delete=models.PROTECT, null=True, blank=True, editable=False, related_name="credits"
    )
    number = models.CharField(gettext_lazy("credit note number"), max_length=60, blank=True)
    on = models.DateField("dated")
    amount = MoneyModelField(
        gettext_lazy("amount with tax"),
        max_digits=10,
        decimal_places=2,
        validators=[MinValueValidator(Decimal("0.01"))],
    )
    came_on = models.DateField(gettext_lazy("money came on"), null=True, blank=True)
    note = models.CharField("note", max_length=200, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, editable=False, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["on", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(amount__gt=0), name="credit_amount_positive"),
            models.CheckConstraint(
                condition=Q(returned=None, cancelled__isnull=False) | Q(returned__isnull=False, cancelled=None),
                name="credit_for_one_thing",
            ),
        ]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save it; what it is for is settled by it, or owed again."""
        with transaction.atomic():
            super().save(*args, **kwargs)
            event = type(self.event)._base_manager.select_for_update().get(pk=self.event.pk)
            event._history_user = getattr(self, "_history_user", None)
            event.settle()

    def __str__(self) -> str:
        return (
            gettext("credit note {number}").format(number=self.number)
            if self.number
            else gettext("credit of {day}").format(day=written.day(self.on))
        )

    @property
    def event(self) -> Any:
        """The return or cancellation that it is for."""
        return self.returned or self.cancelled

    @property
    def line(self) -> Any:
        """The order line that it belongs to."""
        return self.event.line

    def get_absolute_url(self) -> str:
        return self.event.line.get_absolute_url()
