"""What a supplier promised, every time it did."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.orders import rules
from shop.orders.line_status import ChangesALine
from shop.orders.models.channel import HOW, HowField
from specs.models import Deletable, DeletableQuerySet


class Promise(ChangesALine, Deletable):
    """One statement by the supplier about one line: a day, a range of days, or no date, with the words used.

    A day has `earliest` equal to `latest`. Never edited: a new statement is a new row; one typed by mistake is
    deleted with a reason.
    """

    line = models.ForeignKey("OrderLine", on_delete=models.PROTECT, related_name="promises")
    given_on = models.DateField(gettext_lazy("said on"))
    earliest = models.DateField(null=True, blank=True)
    latest = models.DateField(null=True, blank=True)
    words = models.CharField(gettext_lazy("in their words"), max_length=400, blank=True)
    said_by = models.CharField(gettext_lazy("who said it"), max_length=120, blank=True)
    how = HowField("how")
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        # The order of the rules: by the day said, then as recorded.
        ordering = ["given_on", "pk"]
        indexes = [models.Index(fields=["line", "given_on"], name="promise_by_line")]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(
                condition=Q(earliest=None, latest=None) | Q(earliest__isnull=False, latest__gte=F("earliest")),
                name="promise_day_range_or_none",
            ),
            models.CheckConstraint(condition=Q(latest__isnull=False) | ~Q(words=""), name="promise_says_something"),
        ]

    def __str__(self) -> str:
        return written.day(self.latest) if self.latest else gettext("no date: {words}").format(words=self.words)

    @property
    def counts(self) -> bool:
        return not self.is_deleted

    @property
    def how_words(self) -> str:
        return str(HOW.get(self.how, self.how))

    def as_rule(self) -> rules.PromiseFacts:
        return rules.PromiseFacts(self.given_on, self.earliest, self.latest, self.words)
