"""In which order, and in which stages, the bolts of a circle are tightened."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Circle, Drawing, Item, Role, Stroke, Text, Tone
from specs.drawings.sections import sheet
from specs.engine.calculation import (
    Calculation,
    Refused,
    WorkingStep,
    number_list_result,
    quantities,
    quantity,
    results,
    whole,
)
from specs.engine.fields import Bounds
from specs.engine.units import RATIO, TORQUE
from specs.phrase import phrase
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The bolts are numbered round the circle from 1."""

    count: int = whole(phrase("Bolts on the circle"), symbol="n", at_least=1, at_most=400)
    torque: float = quantity(TORQUE, phrase("Torque at the end"), symbol="T", above=0)
    stages: tuple[float, ...] = quantities(
        RATIO,
        phrase("Stages, as shares of the torque"),
        default=(0.3, 0.7, 1.0),
        bounds=Bounds(above=0, at_most=1),
        help=phrase("rising, the last usually 1"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The whole order is gone through at every stage."""

    order: tuple[int, ...] = number_list_result(phrase("Tightening sequence"))
    stage_torques: tuple[float, ...] = results(TORQUE, phrase("Torque at each stage"))


def solve(given: Inputs) -> Outputs:
    """Cross pattern of the circle (after ASME PCC-1) and the stage torques share·T [N·m].

    Odd n: steps of (n − 1)/2. Even n not divisible by 4: opposite pairs k, k + n/2 in turn. n divisible by 4: for s in
    the order of n/4 bolts: s, s + n/2, s + n/4, s + 3n/4. Raises Refused where the stages do not rise.
    """
    if any(later <= earlier for earlier, later in zip(given.stages, given.stages[1:], strict=False)):
        raise Refused("stages", phrase("must rise from stage to stage, such as 0.3, 0.7, 1."))
    return Outputs(order=_order(given.count), stage_torques=tuple(share * given.torque for share in given.stages))


def _order(count: int) -> tuple[int, ...]:
    if count % 2:
        return tuple((step * (count // 2)) % count + 1 for step in range(count))
    half = count // 2
    if count % 4:
        return tuple(bolt for pair in range(1, half + 1) for bolt in (pair, pair + half))
    quarter = count // 4
    return tuple(start + turn for start in _order(quarter) for turn in (0, half, quarter, 3 * quarter))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """One line a stage."""
    for number, (share, torque) in enumerate(zip(given.stages, found.stage_torques, strict=True), start=1):
        values = {f"T_{number}": (torque, TORQUE), f"s_{number}": (share, RATIO)}
        yield WorkingStep(
            f"T_{number} = s_{number} * T", values, phrase("stage {number}, all bolts in order", number=number)
        )


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the stages end short."""
    if given.stages[-1] < 1:
        yield phrase("The last stage stops short of the torque.")


_RADIUS = 40.0
_BOLT = 5.0


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The circle with each bolt's place in the order; bolt 1 of the numbering at the top, clockwise."""
    # Bolts that would touch are drawn smaller.
    size = min(_BOLT, 0.8 * math.pi * _RADIUS / given.count)
    items: list[Item] = [Circle((0, 0), _RADIUS, role=Role.CENTRE, stroke=Stroke.CHAIN)]
    for turn, bolt in enumerate(found.order, start=1):
        angle = math.pi / 2 - 2 * math.pi * (bolt - 1) / given.count
        x, y = _RADIUS * math.cos(angle), _RADIUS * math.sin(angle)
        items += [
            Circle((x, y), size, Tone.METAL),
            Text((x, y - 0.3 * size), str(turn), 0.7 * size, "middle"),
            Text((x * 1.25, y * 1.25 - 0.3 * size), f"({bolt})", 0.6 * size, "middle"),
        ]
    key = phrase("in the bolt its turn, (outside) its number")
    items.append(Text((0, -1.25 * _RADIUS - 14), key, 4.2, "middle"))
    return sheet(
        phrase("Tightening sequence"),
        phrase(
            "Bolts numbered clockwise from the top are tightened in the order {map}. In each "
            "bolt stands its turn, outside in brackets its number.",
            map=", ".join(map(str, found.order)),
        ),
        items,
    )


CALCULATION = Calculation(
    title=phrase("Tightening sequence"),
    question=phrase("In what sequence do I tighten this circle of bolts?"),
    area=phrase("Fasteners"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    warn=warn,
    drawing=drawing,
    example={"count": 8, "torque": 80},
    transforms=True,
    cautions=(
        phrase("The maker's order and stages come first."),
        phrase("Start all bolts by hand and seat the parts before the first stage."),
        phrase("Go round once more at the end: earlier bolts relax as later ones pull the joint together."),
    ),
    sources=(
        Source(
            phrase("ASME PCC-1, Pressure Boundary Bolted Flange Joint Assembly"), "2013", phrase("legacy cross pattern")
        ),
        Source(phrase("Twelve-bolt cross pattern"), "undated", phrase("public how-to page"), "read"),
    ),
    limits=(phrase("One circle of equal, evenly spaced bolts."),),
    not_checked=(phrase("Gaskets, and joints with more than one circle or uneven spacing."),),
)
