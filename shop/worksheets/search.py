from collections.abc import Iterable

from shop.base.search import Searched
from shop.worksheets.models import Worksheet
from specs.engine.calculation import find
from specs.models import Component


def _words(worksheet: Worksheet) -> tuple[str, ...]:
    calculation = find(worksheet.calculation)
    component = str(worksheet.component) if worksheet.component else ""
    return (calculation.title if calculation else worksheet.calculation, component, worksheet.notes)


def _worksheets_of(component: Component) -> Iterable[int]:
    return Worksheet.objects.filter(component=component).values_list("pk", flat=True)


SEARCHED = [
    Searched(
        "Worksheet",
        34,
        Worksheet,
        words=_words,
        numbers=lambda worksheet: (f"W{worksheet.pk}",),
        note=lambda worksheet: " · ".join(filter(None, [f"W{worksheet.pk}", str(worksheet.component or "")])),
        read=lambda rows: rows.select_related("component"),
        told_by=((Component, _worksheets_of),),
    ),
]
