"""What a delivery brings to the shelf and a return takes from it: one movement each, which follows it.

Of a line for the shelf only: what was bought for a step waits for its step.
"""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.orders.rules import LineEventKind
from shop.stock.models import ARRIVED, WENT_BACK, Movement

_OFF_SHELF = gettext_lazy("the line it came from is not for the shelf any more")


def keep_on_shelf(event: Any, *, from_now: bool = False) -> bool:
    """Bring the shelf to what an event says, before it is saved; return whether its movement is another than before.

    A deleted event takes its movement along and brings it back when the deletion is undone. One on record that moved
    nothing, as of a past order brought in from a file, moves none later, unless its line is for the shelf `from_now`.
    """
    kind, line = event.kind, event.line
    if kind is LineEventKind.CANCELLED or not (event.movement_id or line.is_for_shelf):
        return False
    if event.pk and not event.movement_id and not from_now:
        return False
    moved: Any = event.movement or Movement(recorded_by_id=event.recorded_by_id)
    if line.is_for_shelf:
        moved.part_id, moved.kind = line.part_id, ARRIVED if kind is LineEventKind.DELIVERED else WENT_BACK
        moved.on, moved.quantity = event.on, event.quantity if moved.kind == ARRIVED else -event.quantity
        moved.reason = gettext("order {number}").format(number=line.order.number)
    for name in ("deleted_at", "deleted_by_id", "deleted_reason"):
        setattr(moved, name, getattr(event, name))
    if not line.is_for_shelf and not moved.is_deleted:
        moved.deleted_at, moved.deleted_by_id, moved.deleted_reason = event.recorded_at, None, _OFF_SHELF
    moved._history_user = getattr(event, "_history_user", None)
    is_new = moved.pk is None
    moved.save()
    event.movement = moved
    return is_new


def shelve_events(line: Any, *, was_for_shelf: bool) -> Any:
    """Bring the shelf to what came of a line that is now for the shelf, or is not any more; return the line."""
    from_now = line.is_for_shelf and not was_for_shelf
    for event in (*line.deliveries.all(), *line.returns.all()):
        event.line = line
        moved = event.movement and (not line.is_for_shelf or event.movement.part_id != line.part_id)
        if moved or (from_now and keep_on_shelf(event, from_now=True)):
            event.save()
    return line
