"""A paper that belongs to an order: quotation, confirmation, invoice."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base.kept_files import KeptFile, safe_place
from specs.addresses import page_address

__all__ = ["Document", "safe_place"]  # the first migration names the place here


class Document(KeptFile):
    """One file kept with an order."""

    kept_papers = ("quotation", "confirmation", "delivery note", "invoice", "picture", "letter", "other")

    order = models.ForeignKey("Order", on_delete=models.PROTECT, related_name="documents")

    history = HistoricalRecords()

    class Meta(KeptFile.Meta):
        abstract = False
        constraints = [
            *KeptFile.Meta.constraints,
            models.UniqueConstraint(
                fields=["order", "digest"],
                condition=Q(deleted_at=None),
                name="document_once_an_order",
                violation_error_message=gettext_lazy("This very file is attached to the order already."),
            ),
        ]

    def get_absolute_url(self) -> str:
        return page_address("orders:document", self.pk)

    @property
    def delete_address(self) -> str:
        return page_address("orders:document-delete", self.pk)
