from collections.abc import Iterable
from functools import partial
from typing import Any

from shop.base.search import Searched
from shop.worksheets.models import Worksheet
from shop.worksheets.tables import MARK_OF_VERDICT, listed
from specs.engine.calculation import find
from specs.models import Component


def _words(worksheet: Worksheet) -> tuple[str, ...]:
    calculation = find(worksheet.calculation)
    component = str(worksheet.component) if worksheet.component else ""
    return (calculation.title if calculation else worksheet.calculation, component, worksheet.notes)


def _state(worksheet: Any) -> tuple[str, str]:
    verdict = worksheet.text.verdict
    return MARK_OF_VERDICT.get(verdict, ""), verdict


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
        state=_state,
        read=lambda rows: rows.select_related("component"),
        show=partial(listed, system="metric"),
        told_by=((Component, _worksheets_of),),
    ),
]
