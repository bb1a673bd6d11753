"""The steps of a job and what each needs before it may start."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base.written import count
from shop.jobs.queries import PartNeedQuerySet, StepOverrideQuerySet, StepQuerySet
from shop.jobs.rules import HAZARDS, is_guarded, known_hazard
from specs.addresses import page_address
from specs.models import Deletable, DeletableQuerySet, Versioned


def hours(value: Decimal | None) -> str:
    """Hours as people say them: "45 min", "2 h", "2 h 15 min"."""
    if value is None:
        return "–"
    minutes = round(value * 60)
    whole, rest = divmod(minutes, 60)
    if not whole:
        return f"{rest} min"
    return f"{whole} h" + (f" {rest} min" if rest else "")


class Work(models.Model):
    """What a step says, a job's or a template's: what is done and by which trade, how long it takes, what can hurt.

    `hazard` says whether the vehicle runs, is lifted, driven or handed over in it.
    """

    position = models.PositiveIntegerField(default=0, editable=False)
    title = models.CharField(max_length=120)
    text = models.TextField(gettext_lazy("how it is done"), blank=True, max_length=8000)
    cautions = models.TextField(blank=True, max_length=2000)
    hours_estimated = models.DecimalField(
        gettext_lazy("hours estimated"),
        max_digits=6,
        decimal_places=2,
        default=Decimal("1"),
        validators=[MinValueValidator(0), MaxValueValidator(1000)],
    )
    role = models.CharField("trade", max_length=20, default="fitter")
    hazard = models.CharField(
        gettext_lazy("what happens in it"), max_length=20, default="none", validators=[known_hazard]
    )

    class Meta:
        abstract = True

    @property
    def is_guarded(self) -> bool:
        return is_guarded(self.hazard)

    @property
    def hazard_text(self) -> str:
        return HAZARDS[self.hazard] if self.is_guarded else ""

    def what_it_says(self) -> dict[str, Any]:
        """Every field of it but its place, for a copy: one that is added later is copied too."""
        fields = (field.name for field in Work._meta.local_fields if field.name != "position")
        return {name: getattr(self, name) for name in fields}


class Step(Work, Versioned, Deletable):
    """One piece of work. Started and paused are read from its time entries; finished is recorded here.

    `check_again` says why a finished step must be looked at again, `pieces` which pieces were there when it was
    finished.
    """

    job = models.ForeignKey("Job", on_delete=models.PROTECT, related_name="steps")
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL,
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="steps",
        verbose_name=gettext_lazy("assigned to"),
    )
    template_step = models.ForeignKey(
        "TemplateStep", on_delete=models.SET_NULL, null=True, related_name="steps", editable=False
    )
    finished_at = models.DateTimeField(null=True, editable=False)
    finished_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, editable=False, related_name="+"
    )

    check_again = models.TextField(blank=True, editable=False)
    pieces = models.JSONField(gettext_lazy("pieces there when it was finished"), null=True, editable=False)

    history = HistoricalRecords()
    objects = StepQuerySet.as_manager()
    asked_by = ("id", "job")

    hours_logged: Decimal
    time_entry_count: int
    running_count: int

    class Meta(Deletable.Meta):
        ordering = ["position", "pk"]
        indexes = [
            models.Index(fields=["job", "position"]),
            models.Index(fields=["-finished_at", "id"], name="step_latest_finished"),
        ]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(
                condition=Q(finished_at=None, finished_by=None)
                | Q(finished_at__isnull=False, finished_by__isnull=False),
                name="step_finish_has_person_and_time",
            ),
            models.CheckConstraint(condition=Q(hours_estimated__gte=0), name="step_hours_not_negative"),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return page_address("jobs:step", self.pk)

    @property
    def is_finished(self) -> bool:
        return self.finished_at is not None


class RequiredCheck(Deletable):
    """A check that somebody must sign, and a second person see, before the step is finished."""

    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="required_checks")
    what = models.CharField(gettext_lazy("what is checked"), max_length=200)
    specified = models.CharField(gettext_lazy("what is specified"), max_length=300, blank=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()
    asked_by = ("step",)

    class Meta(Deletable.Meta):
        ordering = ["pk"]

    def __str__(self) -> str:
        return self.what


class StepOverride(models.Model):
    """A person's decision to start or finish a step while something is open: what was open, and why."""

    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="overrides")
    act = models.CharField(max_length=10)
    open_points = models.JSONField(default=list)
    reason = models.CharField(max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    is_current = models.BooleanField(default=True)

    history = HistoricalRecords()
    objects = StepOverrideQuerySet.as_manager()
    asked_by = ("step",)

    by_owner: bool

    class Meta:
        ordering = ["at", "pk"]
        constraints = [models.CheckConstraint(condition=~Q(reason=""), name="stepoverride_has_a_reason")]

    def __str__(self) -> str:
        return f"{self.act}: {self.reason}"


class StepNeed(Deletable):
    """Add what it waits for: another step done, a worksheet accepted, or a decision made."""

    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="needs")
    needs_step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, blank=True, related_name="needed_by")
    worksheet = models.ForeignKey(
        "worksheets.Worksheet", on_delete=models.PROTECT, null=True, blank=True, related_name="step_needs"
    )
    decision = models.ForeignKey("Decision", on_delete=models.PROTECT, null=True, blank=True, related_name="step_needs")

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()
    asked_by = ("step",)

    class Meta(Deletable.Meta):
        ordering = ["pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(
                condition=Q(needs_step__isnull=False, worksheet=None, decision=None)
                | Q(needs_step=None, worksheet__isnull=False, decision=None)
                | Q(needs_step=None, worksheet=None, decision__isnull=False),
                name="stepneed_is_exactly_one_thing",
            ),
            models.CheckConstraint(
                condition=Q(needs_step=None) | ~Q(needs_step=F("step")), name="stepneed_not_on_itself"
            ),
            *[
                models.UniqueConstraint("step", thing, condition=Q(deleted_at=None), name=f"stepneed_{thing}_once")
                for thing in ("needs_step", "worksheet", "decision")
            ],
        ]

    def __str__(self) -> str:
        return str(self.needs_step or self.worksheet or self.decision)


class PartNeed(Versioned, Deletable):
    """A part that must be here before the step can be done, by component or in words."""

    step = models.ForeignKey(Step, on_delete=models.PROTECT, related_name="part_needs")
    component = models.ForeignKey(
        "specs.Component", on_delete=models.PROTECT, null=True, blank=True, related_name="part_needs"
    )
    text = models.CharField(gettext_lazy("or in words"), max_length=200, blank=True)
    quantity = models.DecimalField(
        max_digits=8, decimal_places=2, default=Decimal("1"), validators=[MinValueValidator(Decimal("0.01"))]
    )
    here_on = models.DateField(gettext_lazy("here since"), null=True, editable=False)
    here_note = models.CharField(gettext_lazy("where it came from"), max_length=200, blank=True, editable=False)

    history = HistoricalRecords()
    objects = PartNeedQuerySet.as_manager()
    asked_by = ("id", "step")

    class Meta(Deletable.Meta):
        ordering = ["pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(
                condition=(Q(component__isnull=False) & Q(text="")) | (Q(component=None) & ~Q(text="")),
                name="partneed_component_or_words",
                violation_error_message=gettext_lazy("Choose a component, or describe the part in words; not both."),
            ),
            models.CheckConstraint(condition=Q(quantity__gt=0), name="partneed_quantity_positive"),
        ]

    def __str__(self) -> str:
        return f"{count(self.quantity)} × {self.component or self.text}"
