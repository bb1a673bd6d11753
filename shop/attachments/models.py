"""A document kept with a supplier, a job, a vehicle or a component."""

from __future__ import annotations

from functools import reduce
from operator import or_
from typing import Any

from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base.kept_files import KeptFile
from specs.addresses import page_address
from specs.phrase import phrase

OWNERS = {
    "supplier": ("price list", "terms", "quotation", "invoice", "letter", "certificate", "other"),
    "job": (
        "picture",
        "drawing",
        "our quotation",
        "our invoice",
        "quotation",
        "certificate",
        "letter",
        "other",
    ),
    "vehicle": (
        "picture",
        "certificate",
        "letter",
        "our quotation",
        "our invoice",
        "other",
    ),
    "component": ("data sheet", "drawing", "picture", "quotation", "certificate", "letter", "other"),
}
"""What a document can be kept with, and which papers are asked for there."""


def _only(owner: str) -> Q:
    return Q(**{f"{name}__isnull": name != owner for name in OWNERS})


class Attachment(KeptFile):
    """One file kept with exactly one supplier, job, vehicle or component."""

    supplier = models.ForeignKey("orders.Supplier", models.PROTECT, null=True, blank=True, related_name="attachments")
    job = models.ForeignKey("jobs.Job", models.PROTECT, null=True, blank=True, related_name="attachments")
    vehicle = models.ForeignKey("vehicles.Vehicle", models.PROTECT, null=True, blank=True, related_name="attachments")
    component = models.ForeignKey("specs.Component", models.PROTECT, null=True, blank=True, related_name="attachments")

    history = HistoricalRecords()

    class Meta(KeptFile.Meta):
        abstract = False
        verbose_name = gettext_lazy("document")
        constraints = [
            *KeptFile.Meta.constraints,
            models.CheckConstraint(condition=reduce(or_, map(_only, OWNERS)), name="attachment_of_one_thing"),
            *(
                models.UniqueConstraint(
                    fields=[owner, "digest"],
                    condition=Q(deleted_at=None),
                    name=f"attachment_once_a_{owner}",
                    violation_error_message=phrase("This very file is kept with the {owner} already.", owner=owner),
                )
                for owner in OWNERS
            ),
        ]

    def get_absolute_url(self) -> str:
        return page_address("attachments:attachment", self.pk)

    @property
    def delete_address(self) -> str:
        return page_address("attachments:attachment-delete", self.pk)

    @property
    def owner_name(self) -> str:
        """Which of OWNERS it is kept with."""
        return next(name for name in OWNERS if getattr(self, f"{name}_id") is not None)

    @property
    def owner(self) -> Any:
        """The record it is kept with."""
        return getattr(self, self.owner_name)
