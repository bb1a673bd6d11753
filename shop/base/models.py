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


class SearchEntry(models.Model):
    """What one record is found by: its folded name, and all its words folded and squeezed (`shop.base.search_text`).

    `kind` is the label of its model, `key` its key there. Kept by `shop.base.search_index` with every save.
    """

    kind = models.CharField(max_length=60)
    key = models.BigIntegerField()
    name = models.CharField(max_length=250, db_index=True)
    text = models.TextField()
    deleted = models.BooleanField(default=False)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["kind", "key"], name="search_entry_of_record")]

    def __str__(self) -> str:
        return f"{self.kind} {self.key}: {self.name}"


class PrintedNumber(models.Model):
    """A number that stands on paper or on a part, squeezed, and the entry of the record that it leads to."""

    entry = models.ForeignKey(SearchEntry, on_delete=models.CASCADE, related_name="numbers")
    number = models.CharField(max_length=80, db_index=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["entry", "number"], name="printed_number_once")]

    def __str__(self) -> str:
        return self.number
