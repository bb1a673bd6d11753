"""Named questions about parts and the shelf: what lies there is the sum of its movements."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import DecimalField, F, OuterRef, Q, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from shop.base.search import SearchQuerySet
from specs.models import DeletableQuerySet

PIECES = DecimalField(max_digits=12, decimal_places=2)
NONE = Value(Decimal(0), output_field=PIECES)


def _sum(rows: models.QuerySet) -> Coalesce:
    total = rows.order_by().values("part").annotate(total=Sum("quantity")).values("total")
    return Coalesce(Subquery(total, output_field=PIECES), NONE)


class PartQuerySet(SearchQuerySet):
    searched = (
        "number",
        "name",
        "maker",
        "maker_number",
        "place",
        "movements__place",
        "component__name",
        "supplier_numbers__number",
    )

    def search(self, text: str):
        return super().search(text).distinct()

    def with_stock(self):
        """Parts with what lies on the shelf, what of it is reserved, and what is free for anybody."""
        moved = apps.get_model("stock", "Movement").objects.active().filter(part=OuterRef("pk"))
        kept = apps.get_model("stock", "Reservation").objects.in_force().filter(part=OuterRef("pk"))
        rows = self.annotate(on_shelf=_sum(moved), reserved=_sum(kept))
        return rows.annotate(free=F("on_shelf") - F("reserved"))

    def with_places(self):
        """Parts with the movements that name another place than the usual one, in one further query for all."""
        rows = apps.get_model("stock", "Movement").objects.active().exclude(place="").order_by("pk")
        return self.prefetch_related(models.Prefetch("movements", queryset=rows, to_attr="placed"))


class ReservationQuerySet(DeletableQuerySet):
    def in_force(self):
        """Reservations whose need is still open: of a step not finished nor deleted, the part not marked as here."""
        need = Q(part_need__deleted_at=None, part_need__here_on=None)
        step = Q(part_need__step__deleted_at=None, part_need__step__finished_at=None)
        return self.active().filter(need, step, part_need__step__job__deleted_at=None)


def taken_for(needs: Iterable[Any]) -> dict[int, Decimal]:
    """Return how many pieces were taken from the shelf for each need, by the need's key."""
    return _by_need(apps.get_model("stock", "Movement").objects.active().filter(kind="taken"), needs, -1)


def reserved_for(needs: Iterable[Any]) -> dict[int, Decimal]:
    """Return how many pieces on the shelf are reserved for each need, by the need's key."""
    return _by_need(apps.get_model("stock", "Reservation").objects.active(), needs, 1)


def _by_need(rows: models.QuerySet, needs: Iterable[Any], sign: int) -> dict[int, Decimal]:
    found = rows.filter(part_need__in=[need.pk for need in needs]).order_by().values("part_need")
    return {row["part_need"]: sign * row["total"] for row in found.annotate(total=Sum("quantity"))}
