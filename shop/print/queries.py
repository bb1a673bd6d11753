"""Named questions about what was printed."""

from __future__ import annotations

from typing import Any

from django.db import models


class PrintIsKept(TypeError):
    """A printed sheet is out in the shop: its record is neither changed nor deleted."""


class PrintedQuerySet(models.QuerySet):
    def for_list(self):
        """Without the bytes and facts, which a list does not show."""
        return self.defer("pdf", "facts").select_related("person", "job__vehicle", "worksheet", "component")

    def update(self, **changes: Any):
        raise PrintIsKept("What was printed cannot be changed; print again.")

    def delete(self):
        raise PrintIsKept("What was printed cannot be deleted.")
