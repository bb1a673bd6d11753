from collections.abc import Iterable

from shop.base.language import gettext_lazy
from shop.base.search import Searched
from specs.models import Component, TorqueSpec
from specs.written import thread_text


def _specs_of(component: Component) -> Iterable[int]:
    return TorqueSpec.objects.filter(component=component).values_list("pk", flat=True)


SEARCHED = [
    Searched(
        gettext_lazy("Torque spec"),
        36,
        TorqueSpec,
        words=lambda spec: (spec.place, spec.thread, spec.grade, spec.published_source, spec.notes),
        note=lambda spec: f"{spec.count} × {thread_text(spec.thread)}, {spec.grade}, {spec.get_condition_display()}",
        read=lambda rows: rows.select_related("component"),
        told_by=((Component, _specs_of),),
    ),
]
