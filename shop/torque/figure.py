"""Whether a torque spec gives a figure to tighten to, or somebody has to look at it first."""

from __future__ import annotations

from collections.abc import Iterable

from shop.torque.confirmation import UnconfirmedChange, changes_to_confirm
from shop.torque.rules import advice
from specs.models import TorqueSpec


def why_no_figure(spec: TorqueSpec, change: UnconfirmedChange | None) -> str:
    """Say why a spec gives nobody a figure to tighten to, or "" where its published one may be used."""
    if spec.is_deleted:
        return f"this torque spec was deleted: {spec.deleted_reason}"
    if change:
        return f"{change}; a second person confirms it first"
    given = advice(spec)
    if given.flag:
        return f"the published torque, {spec.published_typed}, is {given.flag}"
    return "" if given.published else "no published torque"


def read_why_no_figure(specs: Iterable[TorqueSpec]) -> None:
    """Set `why_no_figure` on each spec, in one query."""
    known = list(specs)
    changes = changes_to_confirm(known)
    for spec in known:
        spec.why_no_figure = why_no_figure(spec, changes.get(spec.pk))  # type: ignore[attr-defined]
