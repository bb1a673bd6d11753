"""Named questions about jobs, steps, hours, proof and lessons."""

from __future__ import annotations

from decimal import Decimal

from django.db import models
from django.db.models import Count, Exists, OuterRef, Prefetch, Q, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from shop.vehicles.queries import SearchQuerySet
from specs.models import WithdrawableQuerySet

HOURS = models.DecimalField(max_digits=8, decimal_places=2)


def _steps(**conditions):
    from shop.jobs.models import Step

    return Step.objects.filter(withdrawn_at=None, job=OuterRef("pk"), **conditions)


def _spells():
    from shop.jobs.models import Spell

    return Spell.objects.filter(step=OuterRef("pk"))


def _number(steps) -> Coalesce:
    counted = steps.order_by().values("job").annotate(number=Count("pk")).values("number")
    return Coalesce(Subquery(counted), 0)


class JobQuerySet(SearchQuerySet):
    searched = ("title", "vehicle__maker", "vehicle__model", "vehicle__registration", "vehicle__customer__name")

    def open(self):
        """Jobs with work left: a step unfinished, or no step written yet."""
        return self.standing().filter(~Exists(_steps()) | Exists(_steps(finished_at=None)))

    def done(self):
        return self.standing().filter(Exists(_steps()), ~Exists(_steps(finished_at=None)))

    def for_list(self):
        """Jobs with the numbers that their state is read from; counted apart, so that spells multiply no steps."""
        begun = Exists(_spells())
        return self.select_related("vehicle__customer").annotate(
            step_count=_number(_steps()),
            steps_finished=_number(_steps(finished_at__isnull=False)),
            steps_begun=_number(_steps().filter(begun)),
        )

    def with_beside(self):
        """Jobs with the pieces that lie ready for them."""
        pieces = self.model.beside.rel.related_model  # type: ignore[attr-defined]
        return self.prefetch_related(
            Prefetch("beside", pieces.objects.standing().select_related("specimen__component"), to_attr="beside_now")
        )


class StepQuerySet(WithdrawableQuerySet):
    def unfinished(self):
        return self.standing().filter(finished_at=None)

    def with_hours(self):
        """Each step, in its place, with the hours logged on it; corrected spells do not count twice."""
        counted = Q(spells__correction=None)
        rows = self.annotate(
            hours_logged=Coalesce(Sum("spells__hours", filter=counted), Value(Decimal("0")), output_field=HOURS),
            spell_count=Count("spells", filter=counted),
            running_count=Count("spells", filter=Q(spells__hours=None) & Q(spells__isnull=False)),
        )
        # A query that counts over a relation leaves out the order that the model declares.
        return rows.order_by(*(self.model._meta.ordering or ()))


class JobTorqueQuerySet(WithdrawableQuerySet):
    def in_force(self):
        return self.standing().filter(torque_spec__withdrawn_at=None).select_related("torque_spec__component")

    def unsigned(self, step):
        """Fastener sets of a step that no standing sign-off speaks of."""
        signed = Q(sign_offs__step=step, sign_offs__correction=None)
        return self.in_force().filter(step=step).exclude(signed)


class PartNeedQuerySet(models.QuerySet):
    def standing(self):
        return self.filter(withdrawn_at=None, step__withdrawn_at=None, step__job__withdrawn_at=None)

    def with_orders(self):
        """Needs with the order lines written for them, read through the reverse relation."""
        return self.select_related("component").prefetch_related("order_lines__order__supplier")


class SpellQuerySet(models.QuerySet):
    def counted(self):
        """Spells that no later record corrects."""
        return self.filter(correction=None)

    def running(self):
        return self.filter(hours=None)

    def hours_on(self, person, day) -> Decimal:
        """Hours already logged by a person on a day."""
        total = self.counted().filter(person=person, day=day).aggregate(total=Sum("hours"))["total"]
        return total or Decimal("0")


class SignOffQuerySet(models.QuerySet):
    def standing(self):
        """Statements that no later one corrects."""
        return self.filter(correction=None)


class RegulatedItemQuerySet(WithdrawableQuerySet):
    def with_approval(self):
        """Items with the number of approvals that stand; none means that the item is open."""
        standing = Q(approvals__withdrawn_at=None, approvals__isnull=False)
        counted = self.annotate(approval_count=Count("approvals", filter=standing))
        return counted.order_by(*(self.model._meta.ordering or ()))

    def with_evidence(self):
        """Items with the approvals that stand, as `passed`."""
        approvals = self.model.approvals.rel.related_model  # type: ignore[attr-defined]
        return self.prefetch_related(Prefetch("approvals", approvals.objects.standing(), to_attr="passed"))


class RouteQuerySet(WithdrawableQuerySet):
    def for_list(self):
        standing = Q(steps__withdrawn_at=None)
        return self.annotate(
            step_count=Count("steps", filter=standing),
            hours=Coalesce(Sum("steps__hours_estimated", filter=standing), Value(Decimal("0")), output_field=HOURS),
        )


class LessonQuerySet(SearchQuerySet):
    searched = ("title", "text")

    def for_step(self, step):
        """Lessons learned at this step, at the same step of a route, or about a part that it needs."""
        return (
            self.standing()
            .filter(
                Q(learned_at=step)
                | (Q(route_steps=step.route_step_id) if step.route_step_id else Q(pk__in=[]))
                | Q(components__part_needs__step=step, components__part_needs__withdrawn_at=None)
            )
            .distinct()
        )

    def for_job(self, job):
        """Lessons about what is fitted to the vehicle, lies beside it or is needed, and about the job's steps."""
        return (
            self.standing()
            .filter(
                Q(learned_at__job=job)
                | Q(route_steps__steps__job=job)
                | Q(components__part_needs__step__job=job)
                | Q(components__specimens__fitted__vehicle=job.vehicle_id, components__specimens__fitted__until=None)
                | Q(components__specimens__beside__job=job)
            )
            .distinct()
        )
