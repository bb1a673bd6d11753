"""Mating features: what of a component can meet another component's feature."""

from __future__ import annotations

from django.core.validators import MinValueValidator
from django.db import models
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from specs.addresses import page_address
from specs.models.base import Deletable, DeletableQuerySet, Stored, Versioned


class MatingFeature(Versioned, Deletable):
    """A spline, pilot, register, bolt circle, shaft end or face pattern of a component.

    Counted and named facts stand here; sizes are dimensions of the component (`FeatureSize`), so that each keeps its
    readings and how sure they are.
    """

    class Kind(models.TextChoices):
        SPLINE = "spline", gettext_lazy("spline")
        PILOT = "pilot", gettext_lazy("pilot")
        REGISTER = "register", gettext_lazy("register")
        BOLT_CIRCLE = "bolt circle", gettext_lazy("bolt circle")
        SHAFT_END = "shaft end", gettext_lazy("shaft end")
        FACE_PATTERN = "face pattern", gettext_lazy("face pattern")

    class Form(models.TextChoices):
        OUTER = "outer", gettext_lazy("outer (a hub, bore or socket)")
        INNER = "inner", gettext_lazy("inner (a shaft, spigot or nose)")
        FACE = "face", gettext_lazy("face to face")

    component = models.ForeignKey("specs.Component", models.PROTECT, related_name="mating_features")
    kind = models.CharField(max_length=20, choices=Kind)
    form = models.CharField(max_length=10, choices=Form)
    name = models.CharField(max_length=120)
    count = models.PositiveIntegerField(
        gettext_lazy("teeth or bolts"), null=True, blank=True, validators=[MinValueValidator(1)]
    )
    standard = models.CharField(
        max_length=120, blank=True, help_text=gettext_lazy("The standard cut to, if it is known.")
    )
    pattern = models.ForeignKey(
        "specs.HolePattern", models.PROTECT, null=True, blank=True, related_name="mating_features"
    )
    notes = models.TextField(blank=True)
    objects = DeletableQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta(Deletable.Meta):
        ordering = ["component", "kind", "name"]
        indexes = [models.Index(fields=["component", "kind", "name", "id", "deleted_at"], name="mating_feature_list")]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint(
                fields=["component", "name"],
                name="mating_feature_name_once_a_component",
                violation_error_message=gettext_lazy("The component has a mating feature of this name already."),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.component}: {self.name}"

    def get_absolute_url(self) -> str:
        return page_address("measuring:feature", self.pk)


class FeatureSize(Stored):
    """Which dimension of the component is the feature's major diameter, length and so on."""

    class Role(models.TextChoices):
        DIAMETER = "diameter", gettext_lazy("diameter")
        MAJOR_DIAMETER = "major diameter", gettext_lazy("major diameter")
        MINOR_DIAMETER = "minor diameter", gettext_lazy("minor diameter")
        MODULE = "module", gettext_lazy("module")
        PITCH_CIRCLE = "pitch circle", gettext_lazy("pitch circle diameter")
        HOLE_DIAMETER = "hole diameter", gettext_lazy("hole diameter")
        LENGTH = "length", gettext_lazy("length")

    feature = models.ForeignKey(MatingFeature, models.CASCADE, related_name="sizes")
    role = models.CharField(max_length=20, choices=Role)
    dimension = models.ForeignKey("specs.Dimension", models.PROTECT, related_name="feature_sizes")
    history = HistoricalRecords()

    class Meta:
        ordering = ["feature", "pk"]
        constraints = [models.UniqueConstraint(fields=["feature", "role"], name="feature_size_role_once")]

    def __str__(self) -> str:
        return f"{self.feature.name}: {self.role}"
