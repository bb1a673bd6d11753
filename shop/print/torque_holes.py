"""The true holes of a torque spec on paper: which pattern on record they are, and in which sequence they are tightened.

A circle that nobody measured is never drawn: where no pattern on record has just these fasteners, the plan says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from math import atan2, tau

from django.utils.translation import gettext

from shop.base import written
from shop.base.language import gettext_lazy
from shop.print.card_facts import HolePlan, PlannedHole
from shop.torque.rules import tightening_order
from specs.models import Hole, HolePattern, TorqueSpec
from specs.queries import patterns_in_full
from specs.standards import threads

MIRRORED = gettext_lazy(" from the engine side, mirrored here")
NO_PATTERN = gettext_lazy("No hole pattern on record has just these fasteners: no drawing")


def hole_plans(specs: Iterable[TorqueSpec]) -> dict[int, HolePlan]:
    """The plan of each spec's holes by its key, in a constant number of queries."""
    specs = list(specs)
    of_component: dict[int, list[HolePattern]] = {}
    components = {spec.component_id for spec in specs}
    measured = patterns_in_full().exclude(method=HolePattern.Method.MOVED)
    for pattern in measured.filter(deleted_at=None, component__in=components):
        of_component.setdefault(pattern.component_id, []).append(pattern)
    return {spec.pk: hole_plan(spec, of_component.get(spec.component_id, [])) for spec in specs}


def hole_plan(spec: TorqueSpec, patterns: Sequence[HolePattern]) -> HolePlan:
    """Choose the pattern of the spec among those of its component: one face, its newest measurement, as many holes."""
    newest: dict[str, HolePattern] = {}
    for pattern in sorted(patterns, key=lambda one: (one.measured_on, one.pk)):
        newest[pattern.face] = pattern
    fitting = [(one, holes) for one in newest.values() if len(holes := _fastened(one, spec)) == spec.count]
    if len(fitting) != 1:
        why = (
            ""
            if not fitting
            else gettext(" ({value} all have as many)").format(value=", ".join(pattern.face for pattern, _ in fitting))
        )
        return HolePlan(note=f"{NO_PATTERN}{why}.")
    pattern, holes = fitting[0]
    mirrored = pattern.seen_from == HolePattern.SeenFrom.ENGINE
    if mirrored:
        holes = _clockwise(holes, mirrored)
    sequence, from_record = _sequence(spec, holes)
    if not sequence:
        return HolePlan(note=gettext("The sequence on record names other holes than the pattern: no drawing. Ask."))
    return HolePlan(
        holes=tuple(PlannedHole(hole.name, _seen(hole.x, mirrored), hole.y, hole.diameter) for hole in holes),
        outline=tuple((_seen(x, mirrored), y) for x, y in pattern.outline),
        sequence=sequence,
        seen=str(HolePattern.SeenFrom.GEARBOX.label),
        datum=pattern.datum,
        source=gettext("{face}, measured {day}{MIRRORED}").format(
            face=pattern.face, day=written.day(pattern.measured_on), MIRRORED=MIRRORED if mirrored else ""
        ),
        note=""
        if from_record
        else gettext("No sequence on record: cross pattern over the holes in turn round the face."),
    )


def _fastened(pattern: HolePattern, spec: TorqueSpec) -> list[Hole]:
    """The holes of a face that take the spec's thread, in turn round their middle, clockwise from the top."""
    holes = [hole for hole in pattern.holes.all() if _thread(hole.fastener) == _thread(spec.thread)]
    return _clockwise(holes) if holes else []


def _clockwise(holes: Sequence[Hole], mirrored: bool = False) -> list[Hole]:
    middle_x = sum(_seen(hole.x, mirrored) for hole in holes) / len(holes)
    middle_y = sum(hole.y for hole in holes) / len(holes)
    return sorted(holes, key=lambda hole: atan2(_seen(hole.x, mirrored) - middle_x, hole.y - middle_y) % tau)


def _seen(x: float, mirrored: bool) -> float:
    """An x as the fitter sees it who stands behind the gearbox (common practice, no source)."""
    return -x if mirrored else x


def _thread(text: str) -> str:
    try:
        return threads.find(text).designation
    except threads.UnknownThread:
        return text


def _sequence(spec: TorqueSpec, holes: Sequence[Hole]) -> tuple[tuple[str, ...], bool]:
    """The names in the order of tightening, and whether that order is on record; no names where it is of others."""
    names = [hole.name for hole in holes]
    if spec.tightening_order:
        told = [part for part in re.split(r"[\s,;–→>-]+", spec.tightening_order) if part]
        return (tuple(told) if sorted(told) == sorted(names) else ()), True
    turns = tightening_order(spec).split(" – ") if len(names) > 1 else ["1"]
    if len(turns) != len(names):
        return (), False
    return tuple(names[int(turn) - 1] for turn in turns), False
