from collections.abc import Iterable
from typing import Any

from django.db.models import Count
from django.utils.translation import gettext, ngettext

from shop.base.language import gettext_lazy
from shop.base.search import Searched
from specs.models import Component, Dimension, Specimen
from specs.queries import dimensions_with_working


def _specimens_of(component: Component) -> Iterable[int]:
    return component.specimens.values_list("pk", flat=True)


def _dimensions_of(component: Component) -> Iterable[int]:
    return component.dimensions.values_list("pk", flat=True)


def _dimensions(component: Any) -> tuple[str, str]:
    count = component.dimension_count
    return "", ngettext("{count} dimension", "{count} dimensions", count).format(count=count) if count else ""


def _reading(dimension: Any) -> tuple[str, str]:
    """The reading that counts, as it was typed."""
    working = dimension.working
    if working is None:
        return "waiting", gettext("not measured")
    return "check" if working.contradictions else "done", working.measurement.typed


SEARCHED = [
    Searched(
        gettext_lazy("Component"),
        30,
        Component,
        words=lambda component: (component.get_kind_display(), component.notes),
        numbers=lambda component: (component.name,),
        note=lambda component: component.get_kind_display(),
        state=_dimensions,
        show=lambda rows: rows.annotate(dimension_count=Count("dimensions")),
    ),
    Searched(
        gettext_lazy("Specimen"),
        32,
        Specimen,
        words=lambda specimen: (specimen.component.get_kind_display(), specimen.notes),
        numbers=lambda specimen: (specimen.mark,),
        note=lambda specimen: specimen.component.get_kind_display(),
        read=lambda rows: rows.select_related("component"),
        told_by=((Component, _specimens_of),),
    ),
    Searched(
        gettext_lazy("Dimension"),
        55,
        Dimension,
        words=lambda dimension: (dimension.datum, dimension.notes),
        note=lambda dimension: dimension.datum,
        state=_reading,
        show=lambda rows: dimensions_with_working().filter(pk__in=rows.values("pk")),
        read=lambda rows: rows.select_related("component"),
        told_by=((Component, _dimensions_of),),
    ),
]
