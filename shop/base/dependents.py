"""What rests on a record that somebody is about to delete, said on the page that asks why.

Each room declares in ``shop/<room>/dependents.py`` what of its own rests on which kind of record::

    RESTS = [Rests(Vehicle, lambda vehicle: named("Jobs on it", vehicle.jobs.active()))]
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from itertools import islice
from typing import Any

from django.db import models
from django.utils.translation import gettext

from shop.base.declared import declared

MOST_NAMED = 5


@dataclass(frozen=True)
class Rests:
    """What a room says of a record of this kind before it goes; "" where nothing of the room rests on it."""

    on: type[models.Model]
    words: Callable[[Any], str]


def named(what: str, records: Iterable[Any]) -> str:
    """Name the first few records: "Jobs on it: clutch; gearbox; and more."; "" for none."""
    names = [str(record) for record in islice(records, MOST_NAMED + 1)]
    shown = [*names[:MOST_NAMED], *([gettext("and more")] if len(names) > MOST_NAMED else [])]
    return f"{what}: {'; '.join(shown)}." if names else ""


def what_rests_on(record: models.Model) -> str:
    """Everything that rests on a record, room after room."""
    told = (rests.words(record) for rests in declared("dependents", "RESTS") if isinstance(record, rests.on))
    return " ".join(filter(None, told))
