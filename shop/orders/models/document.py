"""A paper that belongs to an order: quotation, confirmation, invoice."""

from __future__ import annotations

import secrets
from pathlib import PurePosixPath

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.urls import reverse
from simple_history.models import HistoricalRecords

from shop.orders.file_kinds import LONGEST_NAME
from specs.models import Deletable, DeletableQuerySet

PAPERS = {
    "quotation": "quotation",
    "confirmation": "order confirmation",
    "delivery note": "delivery note",
    "invoice": "invoice",
    "other": "something else",
}
"""What a document can be. Checked in code, so that a further one needs no migration."""

NAME_PRICES = frozenset({"quotation", "confirmation", "invoice"})
"""The papers on which prices stand."""


def safe_place(document: Document, name: str) -> str:
    """A name on the disk that nobody chose and nobody can guess, with the ending of `name`."""
    return f"orders/{secrets.token_hex(16)}{PurePosixPath(name).suffix}"


class Document(Deletable):
    """One file kept with an order. Never changed: a corrected one is attached anew and the old one deleted."""

    order = models.ForeignKey("Order", on_delete=models.PROTECT, related_name="documents")
    paper = models.CharField("what it is", max_length=20, default="other")
    name = models.CharField("name of the file", max_length=LONGEST_NAME)
    note = models.CharField("what to know of it", max_length=200, blank=True)
    file = models.FileField(upload_to=safe_place, max_length=100)
    content_type = models.CharField(max_length=60, editable=False)
    size = models.PositiveIntegerField("size in bytes", editable=False)
    digest = models.CharField("SHA-256 of the content", max_length=64, editable=False)
    attached_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    attached_at = models.DateTimeField(auto_now_add=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["attached_at", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(size__gt=0), name="document_not_empty"),
            models.UniqueConstraint(
                fields=["order", "digest"],
                condition=Q(deleted_at=None),
                name="document_once_an_order",
                violation_error_message="This very file is attached to the order already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.paper_words} {self.name}"

    def get_absolute_url(self) -> str:
        return reverse("orders:document", args=[self.pk])

    @property
    def names_prices(self) -> bool:
        """Whether only those may open it who may see what parts cost."""
        return self.paper in NAME_PRICES

    @property
    def paper_words(self) -> str:
        return PAPERS.get(self.paper, self.paper)
