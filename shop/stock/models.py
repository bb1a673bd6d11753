"""What the shop buys again and again, and what of it lies on the shelf."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.db.models.functions import Lower
from django.utils.translation import gettext, gettext_lazy, gettext_noop
from simple_history.models import HistoricalRecords

from shop.base import written
from shop.base.language import word
from shop.base.written import count
from shop.stock.queries import PartQuerySet, ReservationQuerySet
from specs.addresses import page_address
from specs.models import Deletable, DeletableQuerySet, Versioned

UNITS = (gettext_noop("piece"), gettext_noop("set"), gettext_noop("pair"), "m", "kg", gettext_noop("litre"))
"""What a part is counted in. Checked in code, so that a further one needs no migration."""

ARRIVED, WENT_BACK, TAKEN, COUNTED, MOVED = "arrived", gettext_lazy("went back"), "taken", "counted", "moved"
"""Why what lies on the shelf changed: a delivery, a return to the supplier, a step or hand that took it, a count; moved
to another place, which is two movements that come to nothing together."""


def _quantity(words: Any, **options):
    return models.DecimalField(words, max_digits=10, decimal_places=2, **options)


class Part(Versioned, Deletable):
    """One thing that can be ordered, under our number: whose it is, how it is packed, where it lies, the least of it.

    `component` says which component it is, where it is one that the shop has measured.
    """

    number = models.CharField(gettext_lazy("our number"), max_length=30)
    name = models.CharField(max_length=120)
    component = models.ForeignKey(
        "specs.Component", on_delete=models.PROTECT, null=True, blank=True, related_name="parts"
    )
    maker = models.CharField(max_length=80, blank=True)
    maker_number = models.CharField(gettext_lazy("maker's number"), max_length=60, blank=True)
    unit = models.CharField(gettext_lazy("counted in"), max_length=12, default="piece")
    pack = _quantity(
        gettext_lazy("how many in a pack"), default=Decimal(1), validators=[MinValueValidator(Decimal("0.01"))]
    )
    minimum = _quantity(gettext_lazy("shelf minimum"), default=Decimal(0), validators=[MinValueValidator(0)])
    place = models.CharField(gettext_lazy("where it lies"), max_length=60, blank=True)
    notes = models.TextField(blank=True, max_length=4000)

    history = HistoricalRecords()
    objects = PartQuerySet.as_manager()

    # What `with_stock()` adds to each row.
    on_shelf: Decimal
    reserved: Decimal
    free: Decimal
    # What `with_places()` adds: movements at other places than the usual one.
    placed: list[Movement]

    class Meta(Deletable.Meta):
        ordering = ["number", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint(
                Lower("number"),
                condition=Q(deleted_at=None),
                name="part_number_once",
                violation_error_message=gettext_lazy("There is already a part of this number."),
            ),
            models.CheckConstraint(condition=Q(pack__gt=0), name="part_pack_positive"),
            models.CheckConstraint(condition=Q(minimum__gte=0), name="part_minimum_not_negative"),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.name}"

    def get_absolute_url(self) -> str:
        return page_address("orders:part", self.pk)


class Movement(Deletable):
    """What came onto the shelf or left it, and why: added to, never edited. A count keeps what was counted.

    What lies there is the sum of all that counts, so every figure can be followed back to who recorded it.
    """

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="movements")
    kind = models.CharField(gettext_lazy("what happened"), max_length=12)
    on = models.DateField("on")
    quantity = _quantity("change")
    place = models.CharField(gettext_lazy("where, if not the usual place"), max_length=60, blank=True)
    counted = _quantity("counted", null=True, blank=True, validators=[MinValueValidator(0)])
    part_need = models.ForeignKey(
        "jobs.PartNeed",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="movements",
        verbose_name=gettext_lazy("for which step"),
    )
    reason = models.CharField("why", max_length=200, blank=True)
    recorded_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    recorded_at = models.DateTimeField(auto_now_add=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["on", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=~Q(quantity=0) | Q(counted__isnull=False), name="movement_moves"),
        ]

    def __str__(self) -> str:
        return gettext("{part}: {what} on {day}").format(part=self.part, what=self.what, day=written.day(self.on))

    @property
    def what(self) -> str:
        """What happened: "+4 arrived", "counted 5, −2"."""
        change = f"{'+' if self.quantity > 0 else '−'}{count(abs(self.quantity))}"
        at = gettext(" at {place}").format(place=self.place) if self.place else ""
        if self.counted is None:
            return f"{change} {word(self.kind)}{at}"
        return gettext("counted {count}{at}").format(count=count(self.counted), at=at) + (
            f", {change}" if self.quantity else ""
        )

    def get_absolute_url(self) -> str:
        return self.part.get_absolute_url()


class Reservation(Deletable):
    """Pieces on the shelf that are kept for one step's need, so that nobody takes them for another."""

    part = models.ForeignKey(Part, on_delete=models.PROTECT, related_name="reservations")
    part_need = models.ForeignKey("jobs.PartNeed", on_delete=models.PROTECT, related_name="reservations")
    quantity = _quantity(gettext_lazy("how many"), validators=[MinValueValidator(Decimal("0.01"))])
    reserved_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    reserved_at = models.DateTimeField(auto_now_add=True)

    history = HistoricalRecords()
    objects = ReservationQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(quantity__gt=0), name="reservation_positive"),
            models.UniqueConstraint(
                fields=["part", "part_need"], condition=Q(deleted_at=None), name="reservation_once_a_need"
            ),
        ]

    def __str__(self) -> str:
        return gettext("{count} of {part} for {step}").format(
            count=count(self.quantity), part=self.part, step=self.part_need.step
        )

    def get_absolute_url(self) -> str:
        return self.part.get_absolute_url()
