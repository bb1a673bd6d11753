"""Named questions about jobs, steps, hours, proof and lessons."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.db.models import Count, Exists, OuterRef, Prefetch, Q, Sum, Value
from django.db.models.functions import Coalesce

from shop.base.roles import OWNER, may
from shop.base.search import SearchQuerySet
from specs.models import DeletableQuerySet
from specs.row_queries import number_of

HOURS = models.DecimalField(max_digits=8, decimal_places=2)


def _steps(**conditions):
    from shop.jobs.models import Step

    return Step.objects.filter(deleted_at=None, **conditions)


def _time_entries():
    from shop.jobs.models import TimeEntry

    return TimeEntry.objects.filter(step=OuterRef("pk"))


class JobQuerySet(SearchQuerySet):
    searched = ("title", "vehicle__maker", "vehicle__model", "vehicle__registration", "vehicle__customer__name")

    def for_list(self):
        """Jobs with their steps counted, apart from time entries, which would multiply them.

        Their state is read from their open points as well: `shop.jobs.standing.listed`.
        """
        begun = Exists(_time_entries())
        return self.select_related("vehicle__customer").annotate(
            step_count=number_of(_steps(), "job"),
            steps_finished=number_of(_steps(finished_at__isnull=False), "job"),
            steps_begun=number_of(_steps().filter(begun), "job"),
        )

    def with_set_aside(self):
        """Jobs with the pieces that lie ready for them."""
        pieces = self.model.set_aside.rel.related_model  # type: ignore[attr-defined]
        return self.prefetch_related(
            Prefetch(
                "set_aside", pieces.objects.active().select_related("specimen__component"), to_attr="set_aside_now"
            )
        )


class StepQuerySet(DeletableQuerySet):
    def unfinished(self):
        return self.active().filter(finished_at=None)

    def with_hours(self):
        """Each step, in its place, with the hours logged on it; corrected time entries do not count twice."""
        counted = Q(time_entries__correction=None)
        rows = self.annotate(
            hours_logged=Coalesce(Sum("time_entries__hours", filter=counted), Value(Decimal("0")), output_field=HOURS),
            time_entry_count=Count("time_entries", filter=counted),
            running_count=Count("time_entries", filter=Q(time_entries__hours=None) & Q(time_entries__isnull=False)),
        )
        # A query that counts over a relation leaves out the order that the model declares.
        return rows.order_by(*(self.model._meta.ordering or ()))


class DecisionQuerySet(DeletableQuerySet):
    def answered_by(self, person):
        """Decisions that a person is asked for: put to them or to nobody; where a guarded step waits, the owner's."""
        if may(person, "jobs.guard"):
            return self.filter(Q(put_to=person) | Q(put_to=None)).distinct()
        return self.filter(Q(put_to=person) | Q(put_to=None) & ~Exists(_guarded_needs())).distinct()


def _guarded_needs():
    from shop.jobs.models import StepNeed

    waiting = StepNeed.objects.active().filter(decision=OuterRef("pk"), step__deleted_at=None)
    return waiting.exclude(step__hazard="none")


class StepOverrideQuerySet(models.QuerySet):
    def with_owner(self):
        """Overrides, each with whether an owner gave the reason."""
        owner = Q(person__groups__name=OWNER) | Q(person__is_superuser=True)
        return self.annotate(by_owner=Exists(self.model._default_manager.filter(owner, pk=OuterRef("pk"))))


class JobTorqueQuerySet(DeletableQuerySet):
    def in_force(self):
        return self.active().filter(torque_spec__deleted_at=None).select_related("torque_spec__component")


class PartNeedQuerySet(models.QuerySet):
    def active(self):
        return self.filter(deleted_at=None, step__deleted_at=None, step__job__deleted_at=None)

    def with_orders(self):
        """Needs with the order lines written for them and the parts that are bought, through reverse relations."""
        return self.select_related("component").prefetch_related("order_lines__order__supplier", "component__parts")


class TimeEntryQuerySet(models.QuerySet):
    def counted(self):
        """Time entries that no later record corrects."""
        return self.filter(correction=None)

    def running(self):
        return self.filter(hours=None)

    def hours_on(self, person, day) -> Decimal:
        """Hours already logged by a person on a day."""
        total = self.counted().filter(person=person, day=day).aggregate(total=Sum("hours"))["total"]
        return total or Decimal("0")


class SignOffQuerySet(models.QuerySet):
    def active(self):
        """Statements that no later one corrects."""
        return self.filter(correction=None)


class RegulatedItemQuerySet(DeletableQuerySet):
    def with_approval(self):
        """Items with the number of approvals that stand; none means that the item is open."""
        status = Q(approvals__deleted_at=None, approvals__isnull=False, approvals__check_again="")
        counted = self.annotate(approval_count=Count("approvals", filter=status))
        return counted.order_by(*(self.model._meta.ordering or ()))

    def open(self):
        """Items without a current approval that the owner did not override either."""
        return self.active().filter(override_reason="").with_approval().filter(approval_count=0)

    def with_evidence(self):
        """Items with their current approvals as `passed`, and with those that must be given again as `fallen`."""
        current = self.model.approvals.rel.related_model.objects.active()  # type: ignore[attr-defined]
        return self.prefetch_related(
            Prefetch("approvals", current.filter(check_again=""), to_attr="passed"),
            Prefetch("approvals", current.exclude(check_again=""), to_attr="fallen"),
        ).select_related("override_by")


class TemplateQuerySet(DeletableQuerySet):
    def for_list(self):
        status = Q(steps__deleted_at=None)
        return self.annotate(
            step_count=Count("steps", filter=status),
            hours=Coalesce(Sum("steps__hours_estimated", filter=status), Value(Decimal("0")), output_field=HOURS),
        )


class LessonQuerySet(SearchQuerySet):
    searched = ("title", "text")

    def for_step(self, step):
        """Lessons learned at this step, at the same step of a job template, or about a part that it needs."""
        return (
            self.active()
            .filter(
                Q(learned_at=step)
                | (Q(template_steps=step.template_step_id) if step.template_step_id else Q(pk__in=[]))
                | Q(components__part_needs__step=step, components__part_needs__deleted_at=None)
            )
            .distinct()
        )

    def for_job(self, job):
        """Lessons about what is fitted to the vehicle, set aside for it or needed, and about the job's steps."""
        return (
            self.active()
            .filter(
                Q(learned_at__job=job)
                | Q(template_steps__steps__job=job)
                | Q(components__part_needs__step__job=job)
                | Q(components__specimens__fitted__vehicle=job.vehicle_id, components__specimens__fitted__until=None)
                | Q(components__specimens__set_aside__job=job)
            )
            .distinct()
        )
