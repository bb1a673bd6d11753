"""Decisions to wait or to buy elsewhere, secret links to calendars, and who wants no morning mail."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from specs.addresses import page_address
from specs.models import Versioned


class Choice(models.Model):
    """What was decided about a late line, why, and the figures that were on screen. Written once."""

    line = models.ForeignKey("orders.OrderLine", on_delete=models.PROTECT, related_name="choices")
    other = models.ForeignKey("orders.Supplier", on_delete=models.PROTECT, related_name="+")
    bought = models.ForeignKey("orders.Order", on_delete=models.PROTECT, null=True, blank=True, related_name="choices")
    reason = models.CharField("reason", max_length=400)
    figures = models.JSONField(gettext_lazy("what was on screen"))
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    decided_at = models.DateTimeField(auto_now_add=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["decided_at", "pk"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="choice_has_a_reason")]

    def __str__(self) -> str:
        return gettext("buy from {other}").format(other=self.other) if self.bought_id else gettext("keep waiting")

    def get_absolute_url(self) -> str:
        return page_address("planning:wait-or-buy", self.line_id)


class KeptForecast(models.Model):
    """What a forecast came to, in plain values, under the digest of all that it was drawn from (`outlook`)."""

    fingerprint = models.CharField(max_length=64, unique=True)
    result = models.JSONField()
    made_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return gettext("forecast of {made_at}").format(made_at=self.made_at)


class CalendarLink(models.Model):
    """A person's secret address of a calendar. Only its digest is kept: who reads the database cannot subscribe."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="calendar_links")
    digest = models.CharField(max_length=64, unique=True, editable=False)
    made_at = models.DateTimeField(auto_now_add=True)
    revoked_at = models.DateTimeField(null=True, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["-made_at", "-pk"]
        constraints = [
            models.UniqueConstraint("person", condition=Q(revoked_at=None), name="calendarlink_one_a_person")
        ]

    def __str__(self) -> str:
        return gettext("calendar of {person}").format(person=self.person)


class MorningMail(Versioned):
    """Whether a person wants the morning's mail. Everybody does until they say otherwise."""

    person = models.OneToOneField(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="morning")
    wanted = models.BooleanField(gettext_lazy("send me the morning's mail"), default=True)

    history = HistoricalRecords()

    def __str__(self) -> str:
        return gettext("morning mail of {person}").format(person=self.person)

    def get_absolute_url(self) -> str:
        return reverse("planning:notices")
