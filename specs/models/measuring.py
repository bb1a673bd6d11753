"""What is measured: components (kinds of part), specimens (pieces), their dimensions, and the readings that count."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from specs.addresses import page_address
from specs.day_text import day_text
from specs.engine.readings import disagreements, working_reading
from specs.models.base import Deletable, DeletableQuerySet, FetchedQuerySet, Versioned
from specs.phrase import phrase
from specs.written import form


class Component(Versioned):
    """A kind of part that the shop knows: a gearbox type, a clutch disc."""

    class Kind(models.TextChoices):
        ENGINE = "engine", gettext_lazy("engine")
        GEARBOX = "gearbox", gettext_lazy("gearbox")
        CLUTCH_DISC = "clutch disc", gettext_lazy("clutch disc")
        CLUTCH_COVER = "clutch cover", gettext_lazy("clutch cover")
        FLYWHEEL = "flywheel", gettext_lazy("flywheel")
        ADAPTER_PLATE = "adapter plate", gettext_lazy("adapter plate")
        RELEASE_BEARING = "release bearing", gettext_lazy("release bearing")
        CYLINDER = "hydraulic cylinder", gettext_lazy("hydraulic cylinder")
        PROPSHAFT = "propshaft", gettext_lazy("propshaft")
        AXLE = "axle", gettext_lazy("axle")
        MOUNT = "mount", gettext_lazy("mount")
        SHIFTER = "shifter", gettext_lazy("shifter")
        STARTER = "starter", gettext_lazy("starter")
        OTHER = "other", gettext_lazy("other")

    kind = models.CharField(max_length=30, choices=Kind)
    maker = models.CharField(max_length=80)
    name = models.CharField(max_length=120, help_text=gettext_lazy("The maker's name or number for it."))
    notes = models.TextField(blank=True)
    history = HistoricalRecords()

    class Meta:
        # By its key at last, which decides nothing: so a list by its component is found in the order of two indexes.
        ordering = ["kind", "maker", "name", "pk"]
        indexes = [models.Index(fields=["kind", "maker", "name", "id"], name="component_list")]
        constraints = [
            models.UniqueConstraint(
                fields=["maker", "name"],
                name="component_maker_and_name_once",
                violation_error_message=gettext_lazy("A component of this maker and name is on record already."),
            )
        ]

    def __str__(self) -> str:
        return f"{self.maker} {self.name}"

    def get_absolute_url(self) -> str:
        return page_address("measuring:component", self.pk)


class Specimen(Versioned):
    """One physical piece of a component, known by a serial number or a mark punched or painted on it."""

    component = models.ForeignKey(Component, models.PROTECT, related_name="specimens")
    mark = models.CharField(gettext_lazy("serial or mark"), max_length=80)
    notes = models.TextField(blank=True)
    history = HistoricalRecords()

    class Meta:
        ordering = ["component", "mark"]
        constraints = [
            models.UniqueConstraint(
                fields=["component", "mark"],
                name="specimen_mark_once_a_component",
                violation_error_message=gettext_lazy(
                    "A specimen with this mark is on record for the component already."
                ),
            )
        ]

    def __str__(self) -> str:
        return str(phrase("{component} no. {mark}", component=self.component, mark=self.mark))

    def get_absolute_url(self) -> str:
        return page_address("measuring:component", self.component_id)


class Dimension(Versioned):
    """A named quantity of a component, with the datum it is taken from.

    Limits are in SI units of the kind; what somebody typed stands beside them. `chosen` is the reading that a person
    put in place of the most recent one; who chose, when and why is in the history.
    """

    component = models.ForeignKey("specs.Component", models.PROTECT, related_name="dimensions")
    name = models.CharField(max_length=120)
    kind = models.CharField(gettext_lazy("kind of quantity"), max_length=40, default="length")
    datum = models.CharField(max_length=300, blank=True, help_text=gettext_lazy("From where to where, in words."))
    lower_limit = models.FloatField(null=True, blank=True)
    lower_limit_typed = models.CharField(max_length=60, blank=True)
    upper_limit = models.FloatField(null=True, blank=True)
    upper_limit_typed = models.CharField(max_length=60, blank=True)
    notes = models.TextField(blank=True)
    chosen = models.ForeignKey("specs.Measurement", models.PROTECT, null=True, blank=True, related_name="+")
    chosen_reason = models.CharField(max_length=300, blank=True)
    objects = FetchedQuerySet.as_manager()
    history = HistoricalRecords()

    working: WorkingValue | None
    """What `specs.queries.dimensions_with_working` reads beside it."""

    class Meta:
        ordering = ["component", "name"]
        constraints = [
            models.UniqueConstraint(
                fields=["component", "name"],
                name="dimension_name_once_a_component",
                violation_error_message=gettext_lazy("The component has a dimension of this name already."),
            ),
            models.CheckConstraint(
                condition=Q(lower_limit=None) | Q(upper_limit=None) | Q(lower_limit__lte=F("upper_limit")),
                name="dimension_limits_in_order",
                violation_error_message=gettext_lazy("The lower limit is above the upper limit."),
            ),
            models.CheckConstraint(
                condition=Q(chosen=None, chosen_reason="") | (Q(chosen__isnull=False) & ~Q(chosen_reason="")),
                name="dimension_choice_with_reason",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.component}: {self.name}"

    def get_absolute_url(self) -> str:
        return page_address("measuring:dimension", self.pk)


class Measurement(Versioned, Deletable):
    """One reading of a dimension: value and tolerance in SI, and as they were typed."""

    dimension = models.ForeignKey(Dimension, models.PROTECT, related_name="measurements")
    specimen = models.ForeignKey("specs.Specimen", models.PROTECT, null=True, blank=True, related_name="measurements")
    value = models.FloatField()
    typed = models.CharField(max_length=60)
    tolerance = models.FloatField()
    tolerance_typed = models.CharField(max_length=60)
    instrument = models.CharField(max_length=120)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="measurements")
    measured_on = models.DateField()
    note = models.TextField(blank=True)
    confirmed = models.TextField(gettext_lazy("asked about and kept"), blank=True, editable=False)
    recorded_at = models.DateTimeField(auto_now_add=True)
    objects = DeletableQuerySet.as_manager()
    history = HistoricalRecords()

    class Meta(Deletable.Meta):
        ordering = ["-measured_on", "-pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(tolerance__gte=0), name="measurement_tolerance_not_negative"),
        ]
        indexes = [
            models.Index(fields=["dimension", "-measured_on", "-id"], name="measurement_latest"),
            models.Index(fields=["-measured_on", "id"], condition=Q(deleted_at=None), name="measurement_by_day"),
            models.Index(fields=["-measured_on", "id", "deleted_at"], name="measurement_list"),
            # What a reading says at the least and at the most: the two ends that show whether any two contradict.
            models.Index(
                F("dimension"), F("value") - F("tolerance"), condition=Q(deleted_at=None), name="measurement_from"
            ),
            models.Index(
                F("dimension"), F("value") + F("tolerance"), condition=Q(deleted_at=None), name="measurement_to"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.dimension.name} {self.typed} ± {self.tolerance_typed}"

    def get_absolute_url(self) -> str:
        return page_address("measuring:dimension", self.dimension_id)

    @property
    def delete_address(self) -> str:
        """Where it is deleted, with a reason."""
        return page_address("measuring:reading-delete", self.pk)


@dataclass(frozen=True)
class WorkingValue:
    """The value that counts for a dimension (SI), the reading that it comes from, and what contradicts it."""

    value: float
    tolerance: float
    measurement: Measurement
    chosen: bool
    contradictions: tuple[tuple[Measurement, Measurement], ...]

    @property
    def disagrees(self) -> bool:
        return bool(self.contradictions)

    @property
    def source(self) -> str:
        """Which reading it is, in words."""
        which = gettext("chosen reading") if self.chosen else gettext("most recent reading")
        return f"{which}, {reading_origin(self.measurement)}"


def reading_origin(reading: Measurement) -> str:
    """With what, by whom and when a reading was taken, in words."""
    by = reading.person.get_full_name() or reading.person.get_username()
    return f"{reading.instrument}, {by}, {day_text(reading.measured_on, form().day_pattern)}"


def working_value(dimension: Dimension) -> WorkingValue | None:
    """The working value of a dimension: the most recent reading that stands, unless a person chose another.

    Reads `dimension.measurements.all()`: of dimensions fetched by `dimensions_with_readings` without a query.
    """
    return working_value_of(dimension, dimension.measurements.all())


def working_value_of(dimension: Dimension, readings: Iterable[Measurement]) -> WorkingValue | None:
    """The working value of a dimension by these of its readings, and which of them contradict each other."""
    readings = list(readings)
    reading = working_reading(readings, dimension.chosen_id)
    if reading is None:
        return None
    return WorkingValue(
        value=reading.value,
        tolerance=reading.tolerance,
        measurement=reading,
        chosen=reading.pk == dimension.chosen_id,
        contradictions=tuple(disagreements(readings)),
    )
