"""Hole patterns of component faces, in mm in the face's own datum."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from specs.addresses import page_address
from specs.models.base import Deletable, DeletableQuerySet, Stored, Versioned


class HolePattern(Versioned, Deletable):
    """The holes of one face as measured once, or moved from such a measurement to another datum.

    `readings` are the raw readings as they came (points on edges, caliper distances); `construction` says how
    `derived_from` was moved to this datum. `outline` is the face's edge, a list of [x, y].
    """

    class SeenFrom(models.TextChoices):
        GEARBOX = "gearbox", gettext_lazy("from the gearbox side, looking forward")
        ENGINE = "engine", gettext_lazy("from the engine side, looking back")

    class Method(models.TextChoices):
        TABLE = "table", gettext_lazy("coordinates by table")
        FILE = "file", gettext_lazy("coordinates pasted or from a file")
        POINTS = "points", gettext_lazy("points on the edges of the holes")
        DISTANCES = "distances", gettext_lazy("distances between the holes")
        MOVED = "moved", gettext_lazy("moved to another datum")

    component = models.ForeignKey("specs.Component", models.PROTECT, related_name="hole_patterns")
    specimen = models.ForeignKey("specs.Specimen", models.PROTECT, null=True, blank=True, related_name="hole_patterns")
    face = models.CharField(max_length=120)
    datum = models.CharField(
        max_length=300, help_text=gettext_lazy("Where x = 0, y = 0 is, and which way x points, in words.")
    )
    seen_from = models.CharField(max_length=10, choices=SeenFrom)
    method = models.CharField(max_length=10, choices=Method, default=Method.TABLE, editable=False)
    instrument = models.CharField(max_length=120, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="hole_patterns")
    measured_on = models.DateField()
    notes = models.TextField(blank=True)
    outline = models.JSONField(default=list, blank=True)
    readings = models.JSONField(default=list, blank=True, editable=False)
    derived_from = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, editable=False, related_name="derived"
    )
    construction = models.JSONField(default=dict, blank=True, editable=False)
    objects = DeletableQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta(Deletable.Meta):
        ordering = ["component", "face", "-measured_on", "-pk"]
        indexes = [
            models.Index(fields=["component", "face", "-measured_on", "-id", "deleted_at"], name="hole_pattern_list"),
        ]

    def __str__(self) -> str:
        return f"{self.component}: {self.face}"

    def get_absolute_url(self) -> str:
        return page_address("measuring:pattern", self.pk)


class Hole(Stored):
    """One hole of a pattern. Lengths in mm; `uncertainty` is that of its place, at 95 %, where it is known.

    `thread` is cut into the hole; `bolt` is the thread size of the bolt that goes through it.
    """

    class Kind(models.TextChoices):
        CLEARANCE = "clearance", gettext_lazy("clearance")
        TAPPED = "tapped", gettext_lazy("tapped")
        COUNTERSUNK = "countersunk", gettext_lazy("countersunk")
        DOWEL = "dowel", gettext_lazy("dowel")

    pattern = models.ForeignKey(HolePattern, models.CASCADE, related_name="holes")
    name = models.CharField(max_length=40)
    x = models.FloatField()
    y = models.FloatField()
    diameter = models.FloatField()
    kind = models.CharField(max_length=12, choices=Kind)
    head_diameter = models.FloatField(default=0)
    thread = models.CharField(max_length=30, blank=True)
    bolt = models.CharField(gettext_lazy("bolt through it"), max_length=30, blank=True)
    uncertainty = models.FloatField(null=True, blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["pattern", "pk"]
        constraints = [
            models.UniqueConstraint(fields=["pattern", "name"], name="hole_name_once_a_pattern"),
            models.CheckConstraint(condition=Q(diameter__gt=0), name="hole_diameter_positive"),
            models.CheckConstraint(condition=Q(head_diameter__gte=0), name="hole_head_diameter_not_negative"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def fastener(self) -> str:
        """The thread size of what is screwed in here: cut into a tapped hole, else that of the bolt through it."""
        return self.thread if self.kind == self.Kind.TAPPED else self.bolt
