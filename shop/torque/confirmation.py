"""Whether somebody changed what a torque spec asks for, and nobody else has confirmed it yet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import takewhile
from typing import Any

from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.base import written
from shop.base.roles import NAMES, person_name
from specs.models import TorqueSpec

# What `asked_for` says of a row, and who wrote it when.
_ASKED = ("published_torque", "stages", "bearing_diameter", "thread", "grade", "head", "condition")
_READ = ("id", "history_date", *_ASKED, *(f"history_user__{name}" for name in NAMES))


@dataclass(frozen=True)
class UnconfirmedChange:
    """Who changed what a torque spec asks for, when, and from what."""

    person_id: int | None
    who: str
    at: datetime
    before: str

    def __str__(self) -> str:
        day = written.day(localtime(self.at))
        return gettext("{who} changed it on {day}, from: {before}").format(who=self.who, day=day, before=self.before)


def change_to_confirm(spec: TorqueSpec) -> UnconfirmedChange | None:
    """The change of a spec that a second person has to confirm first; None where there is none."""
    return changes_to_confirm([spec]).get(spec.pk)


def changes_to_confirm(specs: Iterable[TorqueSpec]) -> dict[int, UnconfirmedChange]:
    """The changes that wait for a second person, by the key of their spec, in one query."""
    by_key = {spec.pk: spec for spec in specs}
    kept: dict[int, list[Any]] = {key: [] for key in by_key}
    rows = TorqueSpec.history.filter(id__in=by_key).select_related("history_user").only(*_READ)
    for row in rows.order_by("-history_date", "-history_id"):
        kept[row.id].append(row)
    found = {key: _change(spec, kept[key]) for key, spec in by_key.items()}
    return {key: change for key, change in found.items() if change}


def _change(spec: TorqueSpec, newest_first: Sequence[Any]) -> UnconfirmedChange | None:
    if spec.checked_as == spec.asked_for:
        return None
    alike = list(takewhile(lambda row: _asked_for(row) == spec.asked_for, newest_first))
    if not alike or len(alike) == len(newest_first):
        return None
    made, before = alike[-1], newest_first[len(alike)]
    who = person_name(made.history_user) if made.history_user else gettext("somebody")
    return UnconfirmedChange(made.history_user_id, who, made.history_date, _asked_for(before))


def _asked_for(row: Any) -> str:
    # A row of history has the fields of the spec, and not its properties.
    return TorqueSpec.asked_for.fget(row)  # type: ignore[attr-defined]
