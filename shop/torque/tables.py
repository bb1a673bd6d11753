"""The list of torque specs."""

from __future__ import annotations

from typing import Any

from django_tables2.utils import A

from shop.base.language import capfirst, gettext_lazy
from shop.base.tables import TOGETHER, Column, Fact, FactsColumn, Table
from shop.torque.text import NO_TORQUE, torque_text
from specs.engine.units import TORQUE, unit_text
from specs.models import TorqueSpec
from specs.written import thread_text, wrench_torque


def _bench_torque(spec: TorqueSpec) -> float | None:
    """The torque that a wrench is set to [N·m]; None where there is none to tighten to (`read_why_no_figure`)."""
    published: float | None = spec.published_torque
    if published is None or spec.why_no_figure:  # type: ignore[attr-defined]
        return None
    return wrench_torque(TORQUE.from_si(published, TORQUE.unit))


class TorqueSpecs(Table):
    """Every torque spec with what to tighten to."""

    on_phone = ("component", "fastener", "flag", "torque")
    says_itself = True
    place = Column(linkify=True)
    component = Column(
        attrs=TOGETHER,
        linkify=("measuring:component", {"pk": A("component_id")}),
        order_by=("component__maker", "place"),
    )
    fastener = FactsColumn(
        attrs=TOGETHER,
        empty_values=(),
        order_by=("thread", "grade"),
        facts=(
            Fact(gettext_lazy("Fasteners"), lambda table, spec: spec.count),
            Fact(gettext_lazy("Thread"), lambda table, spec: spec.thread),
            Fact(gettext_lazy("Grade"), lambda table, spec: spec.grade),
        ),
    )
    torque = FactsColumn(
        empty_values=(),
        order_by="published_torque",
        facts=(
            Fact(
                gettext_lazy("Torque [{unit_text}]", unit_text=unit_text(TORQUE.unit)),
                lambda table, spec: _bench_torque(spec),
            ),
        ),
    )
    flag = Column(verbose_name=gettext_lazy("Check"), empty_values=(), orderable=False)
    empty = gettext_lazy("No torque spec is on record yet. They are added on a component's page.")
    empty_action = ("measuring:components", gettext_lazy("See the components"))

    class Meta(Table.Meta):
        model = TorqueSpec
        fields = ["place", "component", "fastener", "condition", "torque", "flag"]

    def render_fastener(self, record: TorqueSpec) -> str:
        return f"{record.count} × {thread_text(record.thread)} {record.grade}"

    def render_torque(self, record: TorqueSpec) -> str:
        if record.published_torque is None or record.why_no_figure:  # type: ignore[attr-defined]
            return NO_TORQUE
        return torque_text(record.published_torque, self.system)

    def render_flag(self, record: TorqueSpec, value: Any = None) -> str:
        return capfirst(record.why_no_figure) or "–"  # type: ignore[attr-defined]
