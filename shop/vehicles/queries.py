"""Named questions about customers and vehicles."""

from __future__ import annotations

from functools import reduce
from operator import and_, or_

from django.db import models
from django.db.models import F, Q, Value
from django.db.models.functions import Cast, Coalesce, Concat, Lower, Replace

from specs.models import WithdrawableQuerySet

SEPARATORS = (" ", "-", ".", "/")


def without_separators(*fields: str) -> models.expressions.Combinable:
    """The fields run together in lower case, less the marks people leave out when they search."""
    expression: models.expressions.Combinable = Cast(F(fields[0]), models.TextField())
    for field in fields[1:]:
        expression = Concat(expression, F(field), output_field=models.TextField())
    for mark in SEPARATORS:
        expression = Replace(expression, Value(mark), Value(""), output_field=models.TextField())
    return Lower(expression)


def squeezed(text: str) -> str:
    """What was typed in a search box, less the same marks."""
    for mark in SEPARATORS:
        text = text.replace(mark, "")
    return text.strip().lower()


class SearchQuerySet(WithdrawableQuerySet):
    """Finds by fragments, in any order, and by numbers typed without their separators."""

    searched: tuple[str, ...] = ()

    def search(self, text: str):
        """Rows holding every word typed, or the whole text; separators may be left out or put in."""
        words = text.split()
        if not words:
            return self.none()
        found = reduce(and_, (self._holds(word) for word in words)) | self._holds(text)
        return self.alias(run_together=without_separators(*self.searched)).filter(found)

    def _holds(self, text: str) -> Q:
        in_a_field = reduce(or_, (Q((f"{field}__icontains", text)) for field in self.searched))
        joined = squeezed(text)
        return in_a_field | Q(run_together__contains=joined) if joined else in_a_field


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
