"""Which records are sample data: brought in whole, to look round in, and taken out whole (`shop.demo.sample`)."""

from __future__ import annotations

from typing import TypeVar

from django.db import models

from shop.base.models import SampleRange

Row = TypeVar("Row", bound=models.Model)


def sample_is_in() -> bool:
    """Whether this database holds sample data."""
    return SampleRange.objects.exists()


def real(rows: models.QuerySet[Row]) -> models.QuerySet[Row]:
    """Return the rows that no sample data brought in."""
    found = SampleRange.objects.filter(kind=rows.model._meta.label_lower).first()
    return rows.exclude(pk__range=(found.first, found.last)) if found else rows
