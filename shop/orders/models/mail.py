"""Mail on its way out: written down first, sent afterwards, so that a failing server loses nothing."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from specs.models.base import Stored


class MailQuerySet(models.QuerySet):
    def due(self, now):
        """Mail that may be tried now."""
        return self.filter(state=Mail.WAITING, try_at__lte=now)

    def left_over(self, before):
        """Mail that a process took in hand and never put down again: it may or may not have gone out."""
        return self.filter(state=Mail.SENDING, taken_at__lt=before)

    def troubled(self):
        """Mail that somebody should look at: refused for good, perhaps sent, or tried in vain."""
        return self.filter(models.Q(state__in=(Mail.REFUSED, Mail.PERHAPS)) | models.Q(state=Mail.WAITING, tries__gt=0))


class Mail(Stored):
    """One message to one address.

    waiting → sending → sent; or back to waiting when the server certainly did not take it; or refused for good; or
    perhaps sent, when the connection broke after the text was handed over: then only a person may send it again.
    """

    WAITING, SENDING, SENT, REFUSED, PERHAPS, DROPPED = "waiting", "sending", "sent", "refused", "perhaps", "dropped"
    WORDS = {
        WAITING: "waiting",
        SENDING: gettext_lazy("being sent"),
        SENT: "sent",
        REFUSED: gettext_lazy("refused by the server"),
        PERHAPS: gettext_lazy("perhaps sent"),
        DROPPED: gettext_lazy("cancelled"),
    }

    to = models.EmailField()
    subject = models.CharField(max_length=200)
    body = models.TextField(max_length=20000)
    message_id = models.CharField(max_length=200, unique=True, editable=False)
    occasion = models.CharField(max_length=100, blank=True, editable=False)
    chase = models.ForeignKey("Chase", on_delete=models.PROTECT, null=True, blank=True, related_name="mail")
    written_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    written_at = models.DateTimeField(auto_now_add=True)
    state = models.CharField(max_length=10, default=WAITING)
    tries = models.PositiveIntegerField(default=0)
    try_at = models.DateTimeField(default=timezone.now)
    taken_at = models.DateTimeField(null=True, blank=True)
    sent_at = models.DateTimeField(null=True, blank=True)
    trouble = models.CharField(gettext_lazy("what went wrong"), max_length=400, blank=True)

    history = HistoricalRecords()
    objects = MailQuerySet.as_manager()

    class Meta:
        ordering = ["-written_at", "-pk"]
        indexes = [
            models.Index(fields=["state", "try_at"], name="mail_by_state"),
            models.Index(fields=["-written_at", "-id"], name="mail_by_day"),
        ]
        verbose_name_plural = gettext_lazy("mail")
        constraints = [
            models.UniqueConstraint("occasion", condition=~models.Q(occasion=""), name="mail_once_an_occasion"),
        ]

    def __str__(self) -> str:
        return f"{self.subject} to {self.to}"

    @property
    def state_words(self) -> str:
        return str(self.WORDS[self.state])

    @property
    def needs_a_person(self) -> bool:
        return self.state in (self.REFUSED, self.PERHAPS)
