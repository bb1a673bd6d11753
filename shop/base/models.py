from django.conf import settings
from django.db import models


class SubmittedForm(models.Model):
    """A create form that was sent: its token, a digest of what it held, and the page of the record that it made."""

    token = models.CharField(max_length=64, unique=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    digest = models.CharField(max_length=64)
    address = models.CharField(max_length=500)
    sent_at = models.DateTimeField(auto_now_add=True, db_index=True)

    def __str__(self) -> str:
        return f"submitted form {self.token}"


class InterruptedForm(models.Model):
    """A form that reached the site after its sender's session had ended: what was sent, to be sent again by them."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    address = models.CharField(max_length=2000)
    sent = models.JSONField()
    sent_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return f"form for {self.address}"
