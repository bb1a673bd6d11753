"""A job on a vehicle, and what belongs to the job as a whole."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.db import models
from django.utils import timezone
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from shop.jobs.job_status import JobStatus
from shop.jobs.queries import DecisionQuerySet, JobQuerySet, JobTorqueQuerySet
from specs.addresses import page_address
from specs.models import Deletable, DeletableQuerySet, Versioned


class Job(Versioned, Deletable):
    """What a customer asked for on one vehicle. Its state is read from its steps, never typed."""

    vehicle = models.ForeignKey("vehicles.Vehicle", on_delete=models.PROTECT, related_name="jobs")
    title = models.CharField(max_length=120)
    asked_for = models.TextField(gettext_lazy("what is asked for"), blank=True, max_length=8000)
    opened_on = models.DateField()
    wanted_by = models.DateField(
        gettext_lazy("wanted by"), null=True, blank=True, help_text=gettext_lazy("The customer's wish, not a promise.")
    )
    worksheets = models.ManyToManyField("worksheets.Worksheet", related_name="jobs", blank=True)
    torque_specs = models.ManyToManyField("specs.TorqueSpec", through="JobTorque", related_name="jobs", blank=True)

    history = HistoricalRecords()
    objects = JobQuerySet.as_manager()
    asked_by = ("id",)

    step_count: int
    steps_finished: int
    steps_begun: int
    points: tuple[Any, ...]

    class Meta(Deletable.Meta):
        ordering = ["-opened_on", "-pk"]
        indexes = [
            models.Index(fields=["-opened_on", "id"], name="job_by_day"),
            models.Index(fields=["-opened_on", "id", "deleted_at"], name="job_list"),
        ]

    def __str__(self) -> str:
        return self.title

    def get_absolute_url(self) -> str:
        return page_address("jobs:job", self.pk)

    @property
    def state(self) -> JobStatus:
        """How far it is; for jobs fetched by `shop.jobs.standing.listed`, which reads their steps and open points."""
        again = {point.step.pk for point in self.points if point.step}
        return JobStatus(self.step_count, self.steps_finished, self.steps_begun, len(self.points), len(again))


class JobTorque(Deletable):
    """A torque spec that applies to a job, and the step in which the fasteners are tightened."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="job_torques")
    torque_spec = models.ForeignKey("specs.TorqueSpec", on_delete=models.PROTECT, related_name="job_torques")
    step = models.ForeignKey("Step", on_delete=models.PROTECT, related_name="job_torques", null=True, blank=True)

    doubt_reason = models.CharField(
        gettext_lazy("why the published figure is right"), max_length=300, blank=True, editable=False
    )
    doubt_figure = models.FloatField(null=True, editable=False)
    doubt_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, editable=False, related_name="+"
    )
    doubt_at = models.DateTimeField(null=True, editable=False)

    history = HistoricalRecords()
    objects = JobTorqueQuerySet.as_manager()
    asked_by = ("job", "step")

    class Meta(Deletable.Meta):
        ordering = ["step__position", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint(
                "job",
                "torque_spec",
                "step",
                condition=models.Q(deleted_at=None),
                name="jobtorque_once_a_step",
            ),
        ]

    def __str__(self) -> str:
        return str(self.torque_spec)


class TorqueTie(Deletable):
    """A person's statement that a job's torque spec takes its figure from one accepted worksheet record."""

    job_torque = models.ForeignKey(JobTorque, on_delete=models.PROTECT, related_name="ties")
    record = models.ForeignKey("worksheets.AcceptedRecord", on_delete=models.PROTECT, related_name="torque_ties")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    tied_at = models.DateTimeField()

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint("job_torque", condition=models.Q(deleted_at=None), name="torquetie_one_a_torque"),
        ]

    def __str__(self) -> str:
        return f"{self.job_torque}: {self.record}"


class SetAside(Versioned, Deletable):
    """A part set aside for this job, not fitted yet."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="set_aside")
    specimen = models.ForeignKey("specs.Specimen", on_delete=models.PROTECT, related_name="set_aside")
    meant_for = models.CharField(
        gettext_lazy("meant for"), max_length=60, blank=True, help_text=gettext_lazy("The place it will go into.")
    )
    lies_in = models.CharField(
        gettext_lazy("where it lies"), max_length=80, blank=True, help_text=gettext_lazy("Shelf, bin or bench.")
    )

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()
    asked_by = ("job",)

    class Meta(Deletable.Meta):
        ordering = ["meant_for", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint(
                "specimen",
                condition=models.Q(deleted_at=None),
                name="set_aside_one_job",
                violation_error_message=gettext_lazy(
                    "This part is set aside for a job already; remove it there first."
                ),
            ),
        ]

    def __str__(self) -> str:
        return str(self.specimen)


class Outcome(models.TextChoices):
    """How a decision came out."""

    YES = "yes", gettext_lazy("yes, go ahead")
    CONDITIONS = "conditions", gettext_lazy("yes, with conditions")
    NO = "no", gettext_lazy("no, do not go ahead")


class Decision(Versioned, Deletable):
    """A question the job cannot pass until somebody has answered it: one of those it is put to, where it is put to
    anybody, else anybody who may decide."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, related_name="decisions")
    question = models.CharField(max_length=200)
    put_to = models.ManyToManyField(
        settings.AUTH_USER_MODEL, blank=True, related_name="+", verbose_name=gettext_lazy("who decides it")
    )
    outcome = models.CharField(max_length=12, blank=True, editable=False)
    answer = models.TextField(blank=True, max_length=2000)
    decided_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, editable=False)
    decided_at = models.DateTimeField(null=True, editable=False)

    history = HistoricalRecords()
    objects = DecisionQuerySet.as_manager()
    asked_by = ("job",)

    class Meta(Deletable.Meta):
        ordering = ["pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(
                condition=models.Q(answer="", decided_by=None, decided_at=None)
                | (~models.Q(answer="") & models.Q(decided_by__isnull=False, decided_at__isnull=False)),
                name="decision_answer_has_person_and_time",
            ),
        ]

    def __str__(self) -> str:
        return self.question

    @property
    def is_made(self) -> bool:
        return self.decided_at is not None

    @property
    def is_yes(self) -> bool:
        """Whether what waits for the decision may go on: yes, or yes with conditions; an answer alone is not yes."""
        return self.outcome in (Outcome.YES, Outcome.CONDITIONS)

    @property
    def outcome_text(self) -> str:
        return str(Outcome(self.outcome).label) if self.outcome else ""


class GuardChange(models.Model):
    """What guarded steps was weakened or taken away, by whom and why: written once, printed on the card."""

    job = models.ForeignKey(Job, on_delete=models.PROTECT, null=True, related_name="guard_changes")
    step = models.ForeignKey("Step", on_delete=models.PROTECT, null=True, related_name="guard_changes")
    template_step = models.ForeignKey("TemplateStep", on_delete=models.PROTECT, null=True, related_name="guard_changes")
    what = models.CharField(gettext_lazy("what was changed"), max_length=300)
    reason = models.CharField(max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["at", "pk"]
        constraints = [models.CheckConstraint(condition=~models.Q(reason=""), name="guardchange_has_a_reason")]

    def __str__(self) -> str:
        return f"{self.what}: {self.reason}"
