"""Doing one thing to many rows of a list: ticked there, asked once, each row by the operation that its own page uses.

Each room declares in ``shop/<room>/bulk.py`` what may be done to the rows of a list, and its table names the list::

    BULK = [BulkList("orders.order", Order.objects.all, acts=(BulkAct("delete", "Delete", "orders.order", ...),))]

    class Orders(Table):
        bulk = "orders.order"

A row is sent with the *state* in which it was ticked. One that is in another state by then, or that its operation
refuses, is left as it is and named; the others are done. All that was done is undone by one press (`BulkChange`).
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from functools import cache
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, models, transaction

from shop.base.declared import declared
from shop.base.error_pages import DeletedMeanwhile
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.models import BulkChange
from shop.base.roles import require
from shop.base.tables import Table
from specs.models.base import Stale

MOST_ROWS = 500
HELD, PAUSE = 0.2, 0.12
"""After so long [s] the write lock is given back, and left to others for so long."""
MOVED = gettext_lazy("Somebody changed it since you ticked it.")
Left = dict[str, Any]
"""What an act leaves for its undo: plain values, kept as JSON."""


@dataclass(frozen=True)
class BulkAct:
    """Something that is done to many rows at once.

    `do(row, answers, person, now)` does it to one row by an operation, and returns what `undo(row, left, person, now)`
    needs to take it back. `form` asks once for what all rows are given; `options(rows)` are its further keywords.
    """

    name: str
    words: str
    action: str
    do: Callable[[Any, dict[str, Any], User, datetime], Left]
    undo: Callable[[Any, Left, User, datetime], None]
    form: type[Form] = Form
    initial: Callable[[], dict[str, Any]] = dict
    note: str = ""


@dataclass(frozen=True)
class BulkList:
    """A list whose rows can be ticked: how they are read, what may be done to them, and a row's `state` in words.

    `state` changes whenever what a person decides by changes: by default the record's version. `table(rows, today)`
    makes the file of what is ticked.
    """

    name: str
    rows: Callable[[], Any]
    acts: tuple[BulkAct, ...]
    table: Callable[[Any, date], Table]
    state: Callable[[Any], str] = lambda row: str(row.version)

    def act(self, name: str) -> BulkAct | None:
        return next((act for act in self.acts if act.name == name), None)

    def tick(self, row: Any) -> str:
        """What the box of a row sends: its key, and the state in which it was shown."""
        return f"{row.pk}:{self.state(row)}"

    def ticked(self, sent: Iterable[str]) -> list[tuple[Any, str]]:
        """The rows whose boxes were sent, each with the state in which it was ticked; what is no row is passed over."""
        states = dict(one.split(":", 1) for one in sent if ":" in one and one.split(":", 1)[0].isdecimal())
        keys = [int(key) for key in list(states)[:MOST_ROWS] if len(key) < 18]
        found = {row.pk: row for row in self.rows().filter(pk__in=keys)}
        return [(found[key], states[str(key)]) for key in keys if key in found]


@cache
def bulk_lists() -> dict[str, BulkList]:
    """Every list with rows to tick that the rooms declare, by name."""
    return {one.name: one for one in declared("bulk", "BULK")}


REFUSED = (ValidationError, PermissionDenied, DeletedMeanwhile, Stale, IntegrityError)


def change_rows(
    change: BulkChange,
    *,
    of: BulkList,
    act: BulkAct,
    ticked: Sequence[tuple[Any, str]],
    answers: dict[str, Any],
    person: User,
    now: datetime,
) -> BulkChange:
    """Do an act to each ticked row that is still as it was ticked. What was done is kept with each batch of rows."""
    require(person, act.action)

    def one(pair: tuple[Any, str]) -> None:
        row, state = pair
        try:
            with transaction.atomic():
                type(row)._base_manager.select_for_update().get(pk=row.pk)
                fresh = of.rows().get(pk=row.pk)
                if of.state(fresh) != state:
                    raise ValidationError(MOVED)
                left = act.do(fresh, answers, person, now)
        except REFUSED as reason:
            change.refused.append({"key": row.pk, "name": str(row), "why": _why(reason)})
        else:
            change.done.append({"key": row.pk, "name": str(row), "left": left})

    _in_batches(ticked, one, lambda: change.save(update_fields=["done", "refused"]))
    return change


def undo_rows(change: BulkChange, *, of: BulkList, act: BulkAct, person: User, now: datetime) -> BulkChange:
    """Take back all that one bulk change did, row by row; what can no longer be taken back stays, and is named."""
    require(person, act.action)
    if change.undone_at is not None:
        return change
    change.undone_at, change.undone_by = now, person

    def one(done: dict[str, Any]) -> None:
        try:
            with transaction.atomic():
                row = of.rows().model._base_manager.get(pk=done["key"])  # of a deleted one too
                act.undo(row, done["left"], person, now)
        except (*REFUSED, models.ObjectDoesNotExist) as reason:
            change.kept.append({"key": done["key"], "name": done["name"], "why": _why(reason)})

    _in_batches(change.done, one, lambda: change.save(update_fields=["undone_at", "undone_by", "kept"]))
    return change


def _in_batches(rows: Sequence[Any], one: Callable[[Any], None], keep: Callable[[], None]) -> None:
    """Do the rows in transactions of a fifth of a second, so that nobody waits long for all of them."""
    at = 0
    while at < len(rows):
        with transaction.atomic():
            began = time.monotonic()
            while at < len(rows) and time.monotonic() - began < HELD:
                one(rows[at])
                at += 1
            keep()
        if at < len(rows):
            time.sleep(PAUSE)


def _why(reason: Exception) -> str:
    if isinstance(reason, ValidationError):
        return " ".join(reason.messages)
    if isinstance(reason, Stale | IntegrityError):
        return MOVED
    return str(reason) or gettext_lazy("It is there no more.")


def deletes(
    action: str, delete: Callable[..., Any], bring_back: Callable[..., Any], form: type[Form], note: str = ""
) -> BulkAct:
    """The act that deletes each row with one reason: `delete(row, person=, reason=, now=)`, undone by `bring_back`."""

    def do(row: Any, answers: dict[str, Any], person: User, now: datetime) -> Left:
        delete(row, person=person, reason=answers["reason"], now=now)
        return {}

    def undo(row: Any, left: Left, person: User, now: datetime) -> None:
        bring_back(record=row, person=person)

    return BulkAct("delete", gettext_lazy("Delete"), action, do, undo, form, note=note)
