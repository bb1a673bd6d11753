"""A contact made about an order: how, what was said, when to ask again."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models, transaction
from django.db.models import Q
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.orders.line_status import restate
from shop.orders.models.channel import HOW, HowField
from specs.addresses import page_address
from specs.models import Deletable, DeletableQuerySet, Versioned


class Chase(Versioned, Deletable):
    """The shop asked; perhaps the supplier answered. A mail or letter keeps the text that was sent."""

    order = models.ForeignKey("Order", on_delete=models.PROTECT, related_name="chases")
    on = models.DateField(gettext_lazy("asked on"))
    how = HowField("how")
    text = models.TextField(gettext_lazy("what we wrote"), blank=True, max_length=8000)
    answer = models.CharField(gettext_lazy("what was said"), max_length=400, blank=True)
    answered_on = models.DateField(gettext_lazy("answered on"), null=True, blank=True)
    ask_again_on = models.DateField(gettext_lazy("ask again on"), null=True, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="chases")
    recorded_at = models.DateTimeField(auto_now_add=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["on", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(
                condition=Q(answer="", answered_on=None) | (~Q(answer="") & Q(answered_on__isnull=False)),
                name="chase_answer_has_a_day",
            ),
        ]

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Save it; an answer is a word heard about every line of the order."""
        with transaction.atomic():
            super().save(*args, **kwargs)
            restate(self.order.lines.values_list("pk", flat=True))

    def __str__(self) -> str:
        return gettext("asked on {day}").format(day=written.day(self.on))

    @property
    def counts(self) -> bool:
        return not self.is_deleted

    @property
    def is_answered(self) -> bool:
        return self.counts and self.answered_on is not None

    @property
    def how_words(self) -> str:
        return str(HOW.get(self.how, self.how))

    def get_absolute_url(self) -> str:
        return page_address("orders:order", self.order_id)
