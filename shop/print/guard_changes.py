"""What guards a step and was changed by hand: who changed hazard or cautions, and why, for the card."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from typing import Any

from django.utils.formats import date_format
from django.utils.timezone import localtime

from shop.jobs.models import Step
from shop.worksheets.text import person_name

_GUARDS = {"hazard": "what happens in it", "cautions": "its cautions"}


def guard_changes(steps: Iterable[Step]) -> dict[int, list[str]]:
    """Say of each step how its hazard and cautions were changed, by its key, in one query."""
    told: dict[int, list[str]] = {step.pk: [] for step in steps}
    rows = Step.history.filter(id__in=told).select_related("history_user").order_by("id", "history_date", "history_id")
    for before, after in pairwise(rows):
        changed = [words for name, words in _GUARDS.items() if getattr(before, name) != getattr(after, name)]
        if before.id == after.id and changed:
            told[after.id].append(_told(after, changed))
    return told


def _told(row: Any, changed: list[str]) -> str:
    who = person_name(row.history_user) if row.history_user else "Somebody"
    reason = (row.history_change_reason or "no reason on record").rstrip(".")
    return f"{who} changed {' and '.join(changed)} on {date_format(localtime(row.history_date), 'j M Y')}: {reason}."
