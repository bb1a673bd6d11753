"""How somebody is called, put into worksheets that were worked out without it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from shop.base.roles import person_name
from shop.worksheets.bindings import Input
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.rules import Origin


def with_names(state: EvaluatedWorksheet) -> EvaluatedWorksheet:
    """The same, in which each input names whoever typed or measured it, as the worksheet's own records do."""
    inputs = {given.path: given for given in state.worksheet.inputs.all()}

    def named(origins: Iterable[Origin]) -> tuple[Origin, ...]:
        return tuple(_named(origin, inputs.get(origin.path)) for origin in origins)

    causes = tuple(
        replace(cause, now=_named(cause.now, inputs.get(cause.path)) if cause.now else None)
        for cause in state.status.causes
    )
    return replace(
        state,
        resolved=state.resolved and replace(state.resolved, origins=named(state.resolved.origins)),
        result=state.result and replace(state.result, origins=list(named(state.result.origins))),
        status=replace(state.status, causes=causes),
    )


def _named(origin: Origin, given: Input | None) -> Origin:
    if given is None or not origin.on:
        return origin
    if origin.kind == "typed":
        return replace(origin, person=given.credit[0])
    made: Any = given.pattern if origin.kind == "pattern" else _reading(given, origin)
    return replace(origin, person=person_name(made.person)) if made else origin


def _reading(given: Input, origin: Origin) -> Any:
    readings = given.dimension.measurements.all() if given.dimension else ()
    return next((one for one in readings if one.pk == origin.reading), None)
