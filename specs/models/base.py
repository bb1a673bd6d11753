"""What every record of the shop has in common: a version that edits must name, and withdrawal in place of deletion."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models


class Versioned(models.Model):
    """A record that two people may edit at once: `version` rises with every save, so that a stale form shows."""

    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            self.version += 1
            if kwargs.get("update_fields") is not None:
                kwargs["update_fields"] = {*kwargs["update_fields"], "version"}
        super().save(*args, **kwargs)


class WithdrawableQuerySet(models.QuerySet):
    def standing(self) -> WithdrawableQuerySet:
        """The records that nobody has withdrawn."""
        return self.filter(withdrawn_at=None)


class Withdrawable(models.Model):
    """Nothing recorded is deleted by a page: it is withdrawn by somebody, with a reason, and stays readable."""

    withdrawn_reason = models.TextField("why it was withdrawn", blank=True)
    withdrawn_at = models.DateTimeField(null=True, blank=True, editable=False)
    withdrawn_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )

    class Meta:
        abstract = True
        constraints = [
            models.CheckConstraint(
                condition=models.Q(withdrawn_at=None, withdrawn_reason="")
                | (models.Q(withdrawn_at__isnull=False) & ~models.Q(withdrawn_reason="")),
                name="%(class)s_withdrawn_with_reason",
            )
        ]

    @property
    def is_withdrawn(self) -> bool:
        return self.withdrawn_at is not None
