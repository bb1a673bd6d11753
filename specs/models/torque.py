"""Torque specs: how a fastener in a place is tightened, and on whose word."""

from __future__ import annotations

from django.conf import settings
from django.core.validators import MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from specs.addresses import page_address
from specs.models.base import Deletable, DeletableQuerySet, Versioned
from specs.phrase import phrase
from specs.written import thread_text


class TorqueSpec(Versioned, Deletable):
    """A set of like fasteners in one place of a component.

    `published_torque` is in N*m, as typed beside it, and needs its source; without it the torque is calculated.
    `stages` is a list of {"kind": "torque" | "angle", "typed": text, "value": N*m or rad}. `checked_as` is what a
    second person confirmed after a change (see `asked_for`).
    """

    class Condition(models.TextChoices):
        DRY = "dry", gettext_lazy("dry")
        OILED = "oiled", gettext_lazy("oiled")
        LOCKING = "locking compound", gettext_lazy("locking compound")

    class Head(models.TextChoices):
        HEX = "hex", gettext_lazy("hexagon")
        SOCKET = "socket", gettext_lazy("socket cap")
        FLANGE = "flange", gettext_lazy("flanged hexagon")
        COUNTERSUNK = "countersunk", gettext_lazy("countersunk")

    component = models.ForeignKey("specs.Component", models.PROTECT, related_name="torque_specs")
    place = models.CharField(
        max_length=120, help_text=gettext_lazy("Which fastener, where: bellhousing to plate, upper row.")
    )
    thread = models.CharField(
        gettext_lazy("thread size"), max_length=30, help_text=gettext_lazy("M10, M12x1.25, 3/8-16 UNC")
    )
    grade = models.CharField(max_length=20, help_text=gettext_lazy("8.8, 10.9, SAE 8, A2-70: as stamped on the head."))
    count = models.PositiveIntegerField(validators=[MinValueValidator(1)])
    condition = models.CharField(max_length=20, choices=Condition)
    head = models.CharField(max_length=12, choices=Head, default=Head.HEX)
    bearing_diameter = models.FloatField(null=True, blank=True)
    bearing_diameter_typed = models.CharField(max_length=60, blank=True)
    published_torque = models.FloatField(null=True, blank=True)
    published_typed = models.CharField(gettext_lazy("published torque as typed"), max_length=60, blank=True)
    published_source = models.CharField(max_length=200, blank=True, help_text=gettext_lazy("Manual, edition and page."))
    stages = models.JSONField(default=list, blank=True)
    single_use = models.BooleanField(gettext_lazy("new fasteners every time"), default=False)
    tightening_order = models.CharField(
        max_length=300,
        blank=True,
        help_text=gettext_lazy("Optional: the cross pattern for the count is used without one."),
    )
    notes = models.TextField(blank=True)
    checked_as = models.CharField(max_length=300, blank=True, editable=False)
    checked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, editable=False, related_name="+"
    )
    checked_at = models.DateTimeField(null=True, blank=True, editable=False)
    objects = DeletableQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta(Deletable.Meta):
        ordering = ["component", "place"]
        indexes = [models.Index(fields=["component", "place", "id", "deleted_at"], name="torque_spec_list")]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(
                condition=Q(published_torque=None) | ~Q(published_source=""),
                name="torque_published_with_source",
                violation_error_message=gettext_lazy("A published torque needs its source: which manual, which page."),
            ),
            models.CheckConstraint(
                condition=Q(published_torque=None) | Q(published_torque__gt=0), name="torque_published_positive"
            ),
            models.CheckConstraint(condition=Q(count__gte=1), name="torque_count_at_least_one"),
        ]

    def __str__(self) -> str:
        return f"{self.component}: {self.place}, {self.count} × {thread_text(self.thread)} {self.grade}"

    def get_absolute_url(self) -> str:
        return page_address("torque:spec", self.pk)

    @property
    def asked_for(self) -> str:
        """Everything that decides what the wrench is set to, in one text: another text is another thing asked for."""
        figure = f"{self.published_torque:.6g} N·m" if self.published_torque else phrase("no published figure")
        stages = ", ".join(str(stage["typed"]) for stage in self.stages)
        bearing = (
            phrase(", {bearing_diameter} mm under the head", bearing_diameter=f"{self.bearing_diameter * 1000:.6g}")
            if self.bearing_diameter
            else ""
        )
        fastener = phrase(
            "{thread} {grade}, {head} head{bearing}, {condition}",
            thread=self.thread,
            grade=self.grade,
            head=self.head,
            bearing=bearing,
            condition=self.condition,
        )
        return "; ".join(filter(None, [figure, fastener, stages]))[:300]

    @property
    def angle_stages(self) -> list[str]:
        """The angles that are turned after the torque, as typed."""
        return [str(stage["typed"]) for stage in self.stages if stage["kind"] == "angle"]

    @property
    def has_angle_stage(self) -> bool:
        return any(stage["kind"] == "angle" for stage in self.stages)
