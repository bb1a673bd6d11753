"""Named questions about customers and vehicles."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.db.models.functions import Coalesce

from shop.base.search import SearchQuerySet
from specs.models import DeletableQuerySet


class CustomerQuerySet(SearchQuerySet):
    searched = ("name", "phone", "email")

    def for_list(self):
        return self.annotate(vehicle_count=models.Count("vehicles", filter=Q(vehicles__deleted_at=None)))


class VehicleQuerySet(SearchQuerySet):
    searched = ("maker", "model", "registration", "vin", "customer__name")

    def for_list(self):
        # The jobs stand above this area: their own meaning of "open" is asked through the reverse relation.
        jobs = self.model.jobs.rel.related_model.objects.open()  # type: ignore[attr-defined]
        of_vehicle = jobs.filter(vehicle=models.OuterRef("pk")).order_by().values("vehicle")
        count = models.Subquery(of_vehicle.annotate(open=models.Count("pk")).values("open"))
        return self.select_related("customer").annotate(open_jobs=Coalesce(count, 0))


class FittedQuerySet(DeletableQuerySet):
    def in_now(self):
        return self.active().filter(until__isnull=True)

    def taken_out(self):
        return self.active().filter(until__isnull=False)

    def with_component(self):
        return self.select_related("specimen__component")
