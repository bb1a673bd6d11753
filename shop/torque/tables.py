"""The list of torque specs."""

from __future__ import annotations

from typing import Any

from django_tables2.utils import A

from shop.base.tables import Column, Fact, FactsColumn, Table
from shop.torque.rules import advice
from shop.torque.text import NO_TORQUE, torque_text, wrench_torque
from specs.engine.units import TORQUE, unit_text
from specs.models import TorqueSpec


def _bench_torque(spec: TorqueSpec) -> float | None:
    """The approved torque as a wrench is set to it [N·m]; None where nobody approved one."""
    approved = advice(spec).approved
    return None if approved is None else wrench_torque(TORQUE.from_si(approved, TORQUE.unit))


class TorqueSpecs(Table):
    """Every torque spec with what to tighten to."""

    on_phone = ("component", "fastener", "flag", "torque")
    place = Column(linkify=True)
    component = Column(
        linkify=("measuring:component", {"pk": A("component_id")}), order_by=("component__maker", "place")
    )
    fastener = FactsColumn(
        empty_values=(),
        order_by=("thread", "grade"),
        facts=(
            Fact("Fasteners", lambda table, spec: spec.count),
            Fact("Thread", lambda table, spec: spec.thread),
            Fact("Grade", lambda table, spec: spec.grade),
        ),
    )
    torque = FactsColumn(
        empty_values=(),
        order_by="published_torque",
        facts=(Fact(f"Torque [{unit_text(TORQUE.unit)}]", lambda table, spec: _bench_torque(spec)),),
    )
    flag = Column(verbose_name="Check", empty_values=(), orderable=False)
    empty = "No torque spec is on record yet. They are added on a component's page."

    class Meta(Table.Meta):
        model = TorqueSpec
        fields = ["place", "component", "fastener", "condition", "torque", "flag"]

    def render_fastener(self, record: TorqueSpec) -> str:
        return f"{record.count} × {record.thread} {record.grade}"

    def render_torque(self, record: TorqueSpec) -> str:
        given = advice(record)
        if given.approved is None:
            return NO_TORQUE
        return torque_text(given.approved, self.system)

    def render_flag(self, record: TorqueSpec, value: Any = None) -> str:
        flag = advice(record).flag
        return f"published torque is {flag}" if flag else "–"
