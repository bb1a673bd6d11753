"""A printed sheet, kept as it was printed."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils.translation import gettext, gettext_lazy

from specs.addresses import page_address
from specs.models.base import Stored


class PrintIsKept(TypeError):
    """A printed sheet is out in the shop: its record is neither changed nor deleted."""


class PrintedQuerySet(models.QuerySet):
    def for_list(self):
        """Without the bytes and facts, which a list does not show."""
        return self.defer("pdf", "facts").select_related(
            "person", "job__vehicle", "worksheet", "component", "step", "vehicle"
        )

    def for_subject(self):
        """With what it is of, but without the bytes."""
        return self.defer("pdf").select_related("person", "job__vehicle", "worksheet", "component", "step", "vehicle")

    def update(self, **changes: Any):
        raise PrintIsKept(gettext("What was printed cannot be changed; print again."))

    def delete(self):
        raise PrintIsKept(gettext("What was printed cannot be deleted."))


class PrintedSheet(Stored):
    """One sheet that somebody printed: the facts it was made of and the very bytes, never changed or deleted."""

    kind = models.CharField(max_length=30)
    number = models.CharField(max_length=40, unique=True)
    title = models.CharField(max_length=200)
    job = models.ForeignKey("jobs.Job", models.PROTECT, null=True, related_name="printed")
    worksheet = models.ForeignKey("worksheets.Worksheet", models.PROTECT, null=True, related_name="printed")
    component = models.ForeignKey("specs.Component", models.PROTECT, null=True, related_name="printed")
    step = models.ForeignKey("jobs.Step", models.PROTECT, null=True, related_name="printed")
    vehicle = models.ForeignKey("vehicles.Vehicle", models.PROTECT, null=True, related_name="printed")
    paper = models.CharField(max_length=10)
    facts = models.JSONField()
    pdf = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="printed")
    at = models.DateTimeField()

    objects = PrintedQuerySet.as_manager()

    class Meta:
        verbose_name = gettext_lazy("printed sheet")
        ordering = ["-pk"]
        indexes = [models.Index(fields=["kind", "-id"], name="printed_kind_latest")]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise PrintIsKept(gettext("What was printed cannot be changed; print again."))
        super().save(*args, **kwargs)

    def get_absolute_url(self) -> str:
        return page_address("print:sheet", self.pk)

    @property
    def status_address(self) -> str:
        """Where its code leads: whether it is current, then the sheet itself."""
        return page_address("s:number", self.number)

    @property
    def subject(self) -> models.Model:
        """The record that the sheet is of."""
        return self.job or self.worksheet or self.component or self.step or self.vehicle  # type: ignore[return-value]

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise PrintIsKept(gettext("What was printed cannot be deleted."))


class CustomerLetter(models.Model):
    """What was written to a customer about a job, kept as it was sent: never changed or deleted."""

    job = models.ForeignKey("jobs.Job", models.PROTECT, related_name="customer_letters")
    on = models.DateField(gettext_lazy("written on"))
    how = models.CharField(
        max_length=10, choices=[("mail", gettext_lazy("by e-mail")), ("letter", gettext_lazy("as a letter"))]
    )
    to = models.EmailField("to", blank=True)
    subject = models.CharField(max_length=200)
    body = models.TextField(max_length=8000)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="customer_letters")
    recorded_at = models.DateTimeField(auto_now_add=True)

    objects = PrintedQuerySet.as_manager()

    class Meta:
        verbose_name = gettext_lazy("letter to a customer")
        verbose_name_plural = gettext_lazy("letters to customers")
        ordering = ["on", "pk"]

    def __str__(self) -> str:
        return self.subject

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise PrintIsKept(gettext("What was written to a customer cannot be changed; write again."))
        super().save(*args, **kwargs)

    def get_absolute_url(self) -> str:
        return page_address("print:customer-letter", self.pk)

    def delete(self, *args: Any, **kwargs: Any) -> tuple[int, dict[str, int]]:
        raise PrintIsKept(gettext("What was written to a customer cannot be deleted."))
