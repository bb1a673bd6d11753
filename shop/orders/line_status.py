"""What a line owes, kept in its columns: brought up to date by whatever changes it, in the same transaction.

What the rules say of one line in Python is worked out here in SQL. `python manage.py check_lines` and
tests/shop/orders/test_line_status.py work every row out again and compare.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Iterator
from typing import Any

from django.apps import apps
from django.db import models, transaction
from django.db.models import (
    Case,
    Count,
    DecimalField,
    ExpressionWrapper,
    F,
    Max,
    OuterRef,
    Q,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
)
from django.db.models.functions import Coalesce, Greatest

KEPT = (
    "left",
    "awaited",
    "expected",
    "first_promised",
    "promise_count",
    "heard",
    "came_on",
    "cancelled_on",
    "undone",
)
"""Columns of a line that no person writes."""

_QUANTITY = DecimalField(max_digits=10, decimal_places=2)
_NOW = "now_"


def _rows(model: str, **conditions: Any) -> QuerySet:
    """What counts of one kind for the outer line."""
    found = apps.get_model("orders", model).objects.filter(line=OuterRef("pk"), deleted_at=None, **conditions)
    return found.order_by().values("line")


def _pieces(model: str, **conditions: bool) -> Coalesce:
    total = _rows(model, **conditions).annotate(total=Sum("quantity")).values("total")
    return Coalesce(Subquery(total, output_field=_QUANTITY), Value(0, output_field=_QUANTITY))


def _last_day(model: str) -> Subquery:
    return Subquery(_rows(model).annotate(last=Max("on")).values("last"))


def _heard() -> Greatest:
    """The last day on which the supplier said anything: a promise, an answer, or else the order."""
    chases = apps.get_model("orders", "Chase").objects.filter(order=OuterRef("order"), deleted_at=None)
    answered = Subquery(chases.order_by().values("order").annotate(last=Max("answered_on")).values("last"))
    said = Subquery(_rows("Promise").annotate(last=Max("given_on")).values("last"))
    ordered = F("order__ordered_on")
    return Greatest(ordered, Coalesce(said, ordered), Coalesce(answered, ordered), output_field=models.DateField())


def worked_out(lines: QuerySet) -> QuerySet:
    """Annotate lines with what each kept column should hold, under its name after `now_`."""
    dated = _rows("Promise", latest__isnull=False)
    gone = _pieces("Delivery") + _pieces("Cancellation")
    left = ExpressionWrapper(F("quantity") - gone + _pieces("Return", to_be_replaced=True), _QUANTITY)
    count = Subquery(dated.annotate(n=Count("pk")).values("n"), output_field=models.IntegerField())
    return lines.annotate(
        now_left=Greatest(left, Value(0, output_field=_QUANTITY)),
        now_awaited=Case(When(Q(now_left__gt=0), then=True), default=False, output_field=models.BooleanField()),
        now_expected=Subquery(dated.order_by("-given_on", "-pk").values("latest")[:1]),
        now_first_promised=Subquery(dated.order_by("given_on", "pk").values("latest")[:1]),
        now_promise_count=Coalesce(count, 0),
        now_heard=_heard(),
        now_came_on=_last_day("Delivery"),
        now_cancelled_on=_last_day("Cancellation"),
        now_undone=ExpressionWrapper(_pieces("Cancellation") + _pieces("Return", to_be_replaced=False), _QUANTITY),
    )


def differing(lines: QuerySet) -> Iterator[tuple[int, dict[str, Any], dict[str, Any]]]:
    """Yield each line whose columns are not what they should be: its key, what is kept, and what should be."""
    names = [*KEPT, *(_NOW + name for name in KEPT)]
    for key, *values in worked_out(lines).order_by("pk").values_list("pk", *names).iterator(chunk_size=500):
        kept, now = (dict(zip(KEPT, half, strict=True)) for half in (values[: len(KEPT)], values[len(KEPT) :]))
        if kept != now:
            yield key, kept, now


@transaction.atomic
def restate(keys: Iterable[int]) -> dict[int, dict[str, Any]]:
    """Bring lines up to date, inside the transaction of what changed them; return what was changed, by key.

    Each line is held first: of two changes at once the second then reads what the first wrote. Its supplier is marked.
    """
    rows = apps.get_model("orders", "OrderLine")._base_manager.filter(pk__in=list(keys))
    list(rows.select_for_update().order_by("pk").values_list("pk"))
    changed = {key: now for key, _, now in list(differing(rows))}
    for key, now in changed.items():
        rows.filter(pk=key).update(**now)
    mark_suppliers(rows.values_list("order__supplier", flat=True))
    return changed


def new_mark() -> int:
    """Return a mark that no supplier ever had, not even in a transaction that was rolled back."""
    return secrets.randbits(62)


def mark_suppliers(keys: Iterable[int]) -> None:
    """Say that something about these suppliers' orders changed, in the transaction that changed it."""
    suppliers = apps.get_model("orders", "Supplier")._base_manager
    for key in sorted(set(keys)):
        suppliers.filter(pk=key).update(record_mark=new_mark())


class ChangesALine(models.Model):
    """What is said or done about one line: every save of it brings the line up to date."""

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        with transaction.atomic():
            super().save(*args, **kwargs)
            restate([self.line_id])  # type: ignore[attr-defined]
