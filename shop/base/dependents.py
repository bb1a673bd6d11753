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
class Resting:
    """What rests on a record, and the first few of it by name: "Jobs on it", ("clutch", "gearbox", "and more")."""

    what: str
    names: tuple[str, ...] = ()


@dataclass(frozen=True)
class Rests:
    """What a room says of a record of this kind before it goes; "" or nothing where nothing of the room rests on it.

    What is `to_go_first` keeps the record: while there is any, its page asks for no reason and has nothing to press.
    """

    on: type[models.Model]
    told: Callable[[Any], str | Iterable[Resting]]
    to_go_first: bool = False

    def of(self, record: Any) -> list[Resting]:
        """What it says of one record."""
        told = self.told(record)
        return ([Resting(told)] if told else []) if isinstance(told, str) else list(told)


def named(what: str, records: Iterable[Any]) -> list[Resting]:
    """Name the first few records: "Jobs on it", ("clutch", "gearbox", "and more"); [] for none."""
    names = [str(record) for record in islice(records, MOST_NAMED + 1)]
    more = [gettext("and more")] if len(names) > MOST_NAMED else []
    return [Resting(what, (*names[:MOST_NAMED], *more))] if names else []


def what_rests_on(record: models.Model) -> tuple[list[Resting], bool]:
    """Everything that rests on a record, room after room, and whether any of it must go first."""
    asked = [(rests, rests.of(record)) for rests in declared("dependents", "RESTS") if isinstance(record, rests.on)]
    return [one for _, told in asked for one in told], any(told for rests, told in asked if rests.to_go_first)
