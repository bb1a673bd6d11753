"""A plate beside the worksheet that lays it out: what it is made of, how bolts sit in it, which holes it leaves out."""

from __future__ import annotations

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from specs.addresses import page_address
from specs.models import Deletable, DeletableQuerySet, Versioned
from specs.plate.sides import Side, plate_name
from specs.standards import classes, materials


def known_alloy(name: str) -> None:
    """Refuse a material that the table lacks; checked in code, so that a new row needs no migration."""
    if name not in materials.table():
        raise ValidationError(gettext('There is no material "{name}" in the table.').format(name=name))


def known_grade(name: str) -> None:
    """Refuse a grade of bolts that the tables lack."""
    if name not in classes.grades():
        raise ValidationError(gettext('There is no grade "{name}" in the tables.').format(name=name))


class PlateMaking(Versioned):
    """What a plate is made of and how its bolts sit in it.

    `other_head` names the holes, as the plate's sheets do, whose bolts have the other kind of head; `floor` is the
    least metal left under a sunk head [mm].
    """

    class Head(models.TextChoices):
        SOCKET = "socket", gettext_lazy("socket cap, counterbored")
        COUNTERSUNK = "countersunk", gettext_lazy("countersunk")

    worksheet = models.OneToOneField("worksheets.Worksheet", models.PROTECT, related_name="making", editable=False)
    alloy = models.CharField("material", max_length=60, default="6082-T6", validators=[known_alloy])
    head = models.CharField(gettext_lazy("heads sunk into the plate"), max_length=12, choices=Head, default=Head.SOCKET)
    other_head = models.JSONField(gettext_lazy("holes with the other head"), default=list, blank=True)
    grade = models.CharField(
        gettext_lazy("grade of the bolts"), max_length=20, default="10.9", validators=[known_grade]
    )
    floor = models.FloatField(default=5.0, validators=[MinValueValidator(0.0)])
    history = HistoricalRecords()

    class Meta:
        verbose_name = gettext_lazy("making of a plate")
        constraints = [models.CheckConstraint(condition=Q(floor__gte=0), name="platemaking_floor_not_negative")]

    def __str__(self) -> str:
        return f"{self.worksheet}: {self.alloy}, {self.heads}"

    def head_of(self, hole: str) -> str:
        """The kind of head that a bolt has in this hole of the plate, by the hole's name on its sheets."""
        other = self.Head.COUNTERSUNK if self.head == self.Head.SOCKET else self.Head.SOCKET
        return str(other if hole in self.other_head else self.head)

    @property
    def heads(self) -> str:
        """The heads in words, with the holes that differ."""
        return self.get_head_display() + "".join(
            f"; {hole} {self.Head(self.head_of(hole)).label}" for hole in self.other_head
        )

    def get_absolute_url(self) -> str:
        return page_address("plate:thickness", self.worksheet_id)


class OmittedHole(Versioned, Deletable):
    """A hole of a plate whose bolt cannot be used, and why: it is not machined until somebody deletes this."""

    class Side(models.TextChoices):
        ENGINE = "engine", gettext_lazy("engine")
        GEARBOX = "gearbox", gettext_lazy("gearbox")

    class Kind(models.TextChoices):
        NO_ACCESS = "no access", gettext_lazy("no access for bolt or tool")
        BLOCKED = "blocked", gettext_lazy("blocked by another part")
        CLASH = "clash", gettext_lazy("clashes with another hole")
        ASSEMBLY = "assembly", gettext_lazy("drilled and reamed in assembly")
        OTHER = "other", gettext_lazy("another reason")

    worksheet = models.ForeignKey("worksheets.Worksheet", models.PROTECT, related_name="left_out", editable=False)
    side = models.CharField(gettext_lazy("hole of the"), max_length=10, choices=Side, editable=False)
    hole = models.CharField(max_length=40, editable=False)
    kind = models.CharField("why", max_length=12, choices=Kind)
    reason = models.CharField(
        gettext_lazy("in words"), max_length=300, help_text=gettext_lazy("What is in the way, and who looked.")
    )
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", editable=False)
    at = models.DateTimeField(editable=False)
    objects = DeletableQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta(Deletable.Meta):
        verbose_name = gettext_lazy("hole left out")
        ordering = ["side", "hole", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint(
                fields=["worksheet", "side", "hole"],
                condition=Q(deleted_at=None),
                name="leftout_hole_once",
                violation_error_message=gettext_lazy("This hole is left out already."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.plate_name}, {self.get_kind_display()}"

    @property
    def plate_name(self) -> str:
        """The hole as the plate's sheets call it."""
        return plate_name(Side(self.side), self.hole)

    def get_absolute_url(self) -> str:
        return page_address("plate:bolts", self.worksheet_id)
