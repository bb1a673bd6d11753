"""Records in bulk, for years of work."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time
from typing import Any

from django.db import models


def put(records: Iterable[models.Model]) -> list[Any]:
    rows = list(records)
    return type(rows[0])._base_manager.bulk_create(rows, batch_size=500) if rows else []


def noon(day: date) -> datetime:
    return datetime.combine(day, time(12), UTC)
