"""Whether a torque spec gives a figure to tighten to, or somebody has to look at it first."""

from __future__ import annotations

from collections.abc import Iterable

from django.utils.translation import gettext

from shop.torque.confirmation import UnconfirmedChange, changes_to_confirm
from shop.torque.rules import advice
from shop.torque.text import typed_torque
from specs.models import TorqueSpec


def why_no_figure(spec: TorqueSpec, change: UnconfirmedChange | None) -> str:
    """Say why a spec gives nobody a figure to tighten to, or "" where its published one may be used."""
    if spec.is_deleted:
        return gettext("this torque spec was deleted: {deleted_reason}").format(deleted_reason=spec.deleted_reason)
    if change:
        return gettext("{change}; a second person confirms it first").format(change=change)
    given = advice(spec)
    if given.flag:
        return gettext("the published torque, {published_typed}, is {flag}").format(
            published_typed=typed_torque(spec.published_typed), flag=given.flag
        )
    return "" if given.published else gettext("no published torque")


def read_why_no_figure(specs: Iterable[TorqueSpec]) -> None:
    """Set `why_no_figure` on each spec, in one query."""
    known = list(specs)
    changes = changes_to_confirm(known)
    for spec in known:
        spec.why_no_figure = why_no_figure(spec, changes.get(spec.pk))  # type: ignore[attr-defined]
