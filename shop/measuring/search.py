from collections.abc import Iterable

from shop.base.language import gettext_lazy
from shop.base.search import Searched
from specs.models import Component, Dimension, Specimen


def _specimens_of(component: Component) -> Iterable[int]:
    return component.specimens.values_list("pk", flat=True)


def _dimensions_of(component: Component) -> Iterable[int]:
    return component.dimensions.values_list("pk", flat=True)


SEARCHED = [
    Searched(
        gettext_lazy("Component"),
        30,
        Component,
        words=lambda component: (component.get_kind_display(), component.notes),
        numbers=lambda component: (component.name,),
        note=lambda component: component.get_kind_display(),
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
        read=lambda rows: rows.select_related("component"),
        told_by=((Component, _dimensions_of),),
    ),
]
