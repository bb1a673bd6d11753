"""Job templates: reusable lists of steps with what each needs first."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.db.models import F, Q
from django.utils.translation import gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base.written import count
from shop.jobs.models.step import Work
from shop.jobs.queries import TemplateQuerySet
from specs.addresses import page_address
from specs.models import Deletable, DeletableQuerySet, Versioned


class JobTemplate(Versioned, Deletable):
    """The usual way through a kind of job."""

    name = models.CharField(max_length=120)
    purpose = models.TextField(gettext_lazy("what it is for"), blank=True, max_length=2000)
    shipped_as = models.SlugField(max_length=60, blank=True, editable=False)

    history = HistoricalRecords()
    objects = TemplateQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["name", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.UniqueConstraint("shipped_as", condition=~Q(shipped_as=""), name="template_shipped_once"),
        ]

    def __str__(self) -> str:
        return self.name

    def get_absolute_url(self) -> str:
        return page_address("jobs:template", self.pk)


class TemplateStep(Work, Versioned, Deletable):
    """One step of a job template: copied into a job when the job template is applied."""

    template = models.ForeignKey(JobTemplate, on_delete=models.PROTECT, related_name="steps")
    touches = models.JSONField(gettext_lazy("what it touches that is regulated"), default=list, blank=True)

    history = HistoricalRecords()
    objects = DeletableQuerySet.as_manager()

    class Meta(Deletable.Meta):
        ordering = ["position", "pk"]
        constraints = [
            *Deletable.Meta.constraints,
            models.CheckConstraint(condition=Q(hours_estimated__gte=0), name="templatestep_hours_not_negative"),
        ]

    def __str__(self) -> str:
        return self.title


class TemplateCheck(models.Model):
    """A check that every job on the template must sign in this step."""

    step = models.ForeignKey(TemplateStep, on_delete=models.CASCADE, related_name="checks")
    what = models.CharField(max_length=200)
    specified = models.CharField(max_length=300, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.what}: {self.specified}" if self.specified else self.what


class TemplateNeed(models.Model):
    """What a template's step needs first: another step of it, or a decision put as a question."""

    step = models.ForeignKey(TemplateStep, on_delete=models.CASCADE, related_name="needs")
    needs_step = models.ForeignKey(
        TemplateStep, on_delete=models.CASCADE, null=True, blank=True, related_name="needed_by"
    )
    decision = models.CharField(max_length=200, blank=True)

    history = HistoricalRecords()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=(Q(needs_step__isnull=False) & Q(decision="")) | (Q(needs_step=None) & ~Q(decision="")),
                name="templateneed_step_or_decision",
            ),
            models.CheckConstraint(
                condition=Q(needs_step=None) | ~Q(needs_step=F("step")), name="templateneed_not_on_itself"
            ),
        ]

    def __str__(self) -> str:
        return self.decision or str(self.needs_step)


class TemplatePart(models.Model):
    """A part that a template's step usually needs."""

    step = models.ForeignKey(TemplateStep, on_delete=models.CASCADE, related_name="parts")
    text = models.CharField(max_length=200)
    quantity = models.DecimalField(max_digits=8, decimal_places=2, default=Decimal("1"))

    history = HistoricalRecords()

    class Meta:
        ordering = ["pk"]
        constraints = [models.CheckConstraint(condition=Q(quantity__gt=0), name="templatepart_quantity_positive")]

    def __str__(self) -> str:
        return f"{count(self.quantity)} × {self.text}"
