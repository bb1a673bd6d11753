"""Named questions about customers and vehicles."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.db.models.functions import Coalesce

from shop.ui.searching import matching
from specs.models import WithdrawableQuerySet


class SearchQuerySet(WithdrawableQuerySet):
    """Finds by fragments, in any order, and by numbers typed without their separators."""

    searched: tuple[str, ...] = ()

    def search(self, text: str):
        """Rows holding every word typed, or the whole text; separators may be left out or put in."""
        return matching(self, self.searched, text)


class CustomerQuerySet(SearchQuerySet):
    searched = ("name", "phone", "email")

    def for_list(self):
        return self.annotate(vehicle_count=models.Count("vehicles", filter=Q(vehicles__withdrawn_at=None)))


class VehicleQuerySet(SearchQuerySet):
    searched = ("maker", "model", "registration", "vin", "customer__name")

    def for_list(self):
        # The jobs stand above this area: their own meaning of "open" is asked through the reverse relation.
        jobs = self.model.jobs.rel.related_model.objects.open()  # type: ignore[attr-defined]
        mine = jobs.filter(vehicle=models.OuterRef("pk")).order_by().values("vehicle")
        count = models.Subquery(mine.annotate(open=models.Count("pk")).values("open"))
        return self.select_related("customer").annotate(open_jobs=Coalesce(count, 0))


class FittedQuerySet(WithdrawableQuerySet):
    def in_now(self):
        return self.standing().filter(until__isnull=True)

    def taken_out(self):
        return self.standing().filter(until__isnull=False)

    def with_component(self):
        return self.select_related("specimen__component")
