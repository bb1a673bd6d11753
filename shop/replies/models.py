"""What came back by mail: an answer of a supplier, or word that a letter did not arrive."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from specs.addresses import page_address
from specs.models import Deletable, DeletableQuerySet, Versioned


class Reply(Versioned, Deletable):
    """One message as it came. It records nothing of an order: a person reads it beside the lines, and does."""

    ANSWER, BOUNCE = "answer", "bounce"
    KINDS = {ANSWER: gettext_lazy("answer"), BOUNCE: gettext_lazy("did not arrive")}

    message_id = models.CharField(max_length=250, unique=True, editable=False)
    sender = models.CharField("from", max_length=254, editable=False)
    subject = models.CharField(max_length=300, blank=True, editable=False)
    sent_at = models.DateTimeField("written", null=True, blank=True, editable=False)
    body = models.TextField(blank=True, editable=False)
    kind = models.CharField(max_length=10, default=ANSWER, editable=False)
    bounce = models.CharField(gettext_lazy("what the mail server said"), max_length=400, blank=True, editable=False)
    order = models.ForeignKey(
        "orders.Order",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="replies",
        verbose_name=gettext_lazy("order"),
    )
    mail = models.ForeignKey(
        "orders.Mail", on_delete=models.PROTECT, null=True, blank=True, editable=False, related_name="replies"
    )
    brought_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )
    brought_at = models.DateTimeField(auto_now_add=True)
    done_at = models.DateTimeField(gettext_lazy("dealt with"), null=True, blank=True, editable=False)
    done_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["-brought_at", "-pk"]
        indexes = [
            models.Index(fields=["-brought_at", "-id"], name="reply_by_day"),
            models.Index(fields=["-brought_at", "id", "deleted_at"], name="reply_list"),
        ]
        verbose_name_plural = gettext_lazy("replies")
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(
                condition=Q(done_at=None, done_by=None) | Q(done_at__isnull=False, done_by__isnull=False),
                name="reply_done_by_somebody",
            ),
        ]

    def __str__(self) -> str:
        return self.subject or gettext("message of {sender}").format(sender=self.sender)

    def get_absolute_url(self) -> str:
        return page_address("replies:reply", self.pk)

    @property
    def kind_words(self) -> str:
        return str(self.KINDS.get(self.kind, self.kind))

    @property
    def state_words(self) -> str:
        return gettext("dealt with") if self.done_at else gettext("to read")
