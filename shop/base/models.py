from django.conf import settings
from django.db import models
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from specs.models.base import Versioned


class SubmittedForm(models.Model):
    """A create form that was sent: its token, a digest of what it held, and the page of the record that it made."""

    token = models.CharField(max_length=64, unique=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    digest = models.CharField(max_length=64)
    address = models.CharField(max_length=500)
    sent_at = models.DateTimeField(auto_now_add=True, db_index=True)

    def __str__(self) -> str:
        return gettext("submitted form {token}").format(token=self.token)


class InterruptedForm(models.Model):
    """A form that reached the site after its sender's session had ended: what was sent, to be sent again by them."""

    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    address = models.CharField(max_length=2000)
    sent = models.JSONField()
    sent_at = models.DateTimeField(db_index=True)

    def __str__(self) -> str:
        return gettext("form for {address}").format(address=self.address)


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


class ShopDetails(Versioned):
    """Whose shop it is, as pages, paper and letters say it: one row at most (`shop.base.shop_details`)."""

    only = models.BooleanField(default=True, unique=True, editable=False)
    name = models.CharField(gettext_lazy("name of the shop"), max_length=120)
    postal_address = models.TextField(gettext_lazy("address on letters"), blank=True, max_length=400)
    reached_by = models.TextField(gettext_lazy("telephone and mail on letters"), blank=True, max_length=200)
    letter_foot = models.CharField(gettext_lazy("last line of letters"), blank=True, max_length=200)

    history = HistoricalRecords()

    class Meta:
        verbose_name = verbose_name_plural = gettext_lazy("name and address of the shop")

    def __str__(self) -> str:
        return self.name


class PutAway(models.Model):
    """A step of the first run that the shop does without, or all of them (`shop.home.first_run`)."""

    name = models.CharField(max_length=40, unique=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return gettext("{name} put away").format(name=self.name)


class SampleRange(models.Model):
    """The rows of one kind that the sample data brought in, by their first and last key (`shop.base.sample`)."""

    kind = models.CharField(max_length=80, unique=True)
    first = models.BigIntegerField()
    last = models.BigIntegerField()

    def __str__(self) -> str:
        return f"{self.kind} {self.first} to {self.last}"


class BulkChange(models.Model):
    """What was done to many rows at once (`shop.base.bulk`): by whom, to which, what was refused, and its undo.

    `done` holds of each row its key, its name and what its undo needs; `refused` and `kept` say why a row was not
    changed, or not changed back.
    """

    of = models.CharField(max_length=60)
    act = models.CharField(max_length=30)
    words = models.CharField(max_length=120)
    came_from = models.CharField(max_length=2000)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    done = models.JSONField(default=list)
    refused = models.JSONField(default=list)
    undone_at = models.DateTimeField(null=True)
    undone_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")
    kept = models.JSONField(default=list)

    def __str__(self) -> str:
        return gettext("{words}: {done} rows").format(words=self.words, done=len(self.done))


class LongWork(models.Model):
    """Something that takes longer than a page should (`shop.base.long_work`): what it is given, how far it is.

    `beat_at` is written with each step, so that one whose process was ended is told from one that is at work.
    """

    kind = models.CharField(max_length=40)
    title = models.CharField(max_length=120)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    given = models.JSONField(default=dict)
    asked_at = models.DateTimeField()
    beat_at = models.DateTimeField()
    done = models.PositiveIntegerField(default=0)
    total = models.PositiveIntegerField(default=0)
    ended_at = models.DateTimeField(null=True)
    result = models.TextField(blank=True)
    fault = models.TextField(blank=True)

    class Meta:
        indexes = [models.Index(fields=["person", "-asked_at"], name="long_work_of_person")]

    def __str__(self) -> str:
        return self.title
