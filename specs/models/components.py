"""Components (kinds of part the shop knows) and specimens (physical pieces)."""

from __future__ import annotations

from django.db import models
from django.urls import reverse
from simple_history.models import HistoricalRecords

from specs.models.base import Versioned


class Component(Versioned):
    """A kind of part that the shop knows: a gearbox type, a clutch disc."""

    class Kind(models.TextChoices):
        ENGINE = "engine", "engine"
        GEARBOX = "gearbox", "gearbox"
        CLUTCH_DISC = "clutch disc", "clutch disc"
        CLUTCH_COVER = "clutch cover", "clutch cover"
        FLYWHEEL = "flywheel", "flywheel"
        ADAPTER_PLATE = "adapter plate", "adapter plate"
        RELEASE_BEARING = "release bearing", "release bearing"
        CYLINDER = "hydraulic cylinder", "hydraulic cylinder"
        PROPSHAFT = "propshaft", "propshaft"
        AXLE = "axle", "axle"
        MOUNT = "mount", "mount"
        SHIFTER = "shifter", "shifter"
        STARTER = "starter", "starter"
        OTHER = "other", "other"

    kind = models.CharField(max_length=30, choices=Kind)
    maker = models.CharField(max_length=80)
    name = models.CharField(max_length=120, help_text="The maker's name or number for it.")
    notes = models.TextField(blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["kind", "maker", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["maker", "name"],
                name="component_maker_and_name_once",
                violation_error_message="A component of this maker and name is on record already.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.name}"

    def get_absolute_url(self) -> str:
        return reverse("measuring:component", args=[self.pk])


class Specimen(Versioned):
    """One physical piece of a component, known by a serial number or a mark punched or painted on it."""

    component = models.ForeignKey(Component, models.PROTECT, related_name="specimens")
    mark = models.CharField("serial or mark", max_length=80)
    notes = models.TextField(blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["component", "mark"]
        constraints = [
            models.UniqueConstraint(
                fields=["component", "mark"],
                name="specimen_mark_once_a_component",
                violation_error_message="A specimen with this mark is on record for the component already.",
            )
        ]

    def __str__(self) -> str:
        return f"{self.component} no. {self.mark}"

    def get_absolute_url(self) -> str:
        return reverse("measuring:component", args=[self.component_id])
