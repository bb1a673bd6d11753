"""What to set on a torque wrench when an adapter (crow's foot) moves the square drive off the fastener."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import Arrow, CentreMark, DimensionLine
from specs.drawings.primitives import Circle, Drawing, Item, Point, Polyline, Text, Tone, turned
from specs.drawings.sections import LETTERS, along, box, sheet, uncut
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.units import ANGLE, LENGTH, TORQUE, show
from specs.phrase import phrase
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Lengths are measured along the wrench; the extension is negative when the adapter is turned back."""

    target: float = quantity(TORQUE, phrase("Torque wanted at the fastener"), symbol="T", above=0)
    wrench_length: float = quantity(
        LENGTH,
        phrase("Wrench, drive to middle of the grip"),
        symbol="L",
        above=0,
        help=phrase("where the hand's force acts"),
    )
    extension: float = quantity(
        LENGTH,
        phrase("Adapter, drive to fastener"),
        symbol="E",
        help=phrase("negative when the adapter is turned back"),
    )
    angle: float = quantity(
        ANGLE,
        phrase("Angle between adapter and wrench"),
        symbol="theta",
        default=0,
        at_least=-180,
        at_most=180,
        help=phrase("0 in line, 90 square to the wrench (the setting is then the torque)"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The figure to set on the wrench."""

    setting: float = result(TORQUE, phrase("Set the wrench to"), symbol="S")


def solve(given: Inputs) -> Outputs:
    """Setting S [N·m] = T·L/(L + E·cos θ).

    The hand's force F acts at L from the drive and at L + E·cos θ from the fastener (all lengths [m], θ [rad]).
    Raises Refused where the adapter brings the fastener to, or behind, the hand.
    """
    reach = given.wrench_length + given.extension * math.cos(given.angle)
    if reach <= 1e-9:
        raise Refused("extension", phrase("is turned back as far as the hand: the wrench would not turn the fastener."))
    return Outputs(setting=given.target * given.wrench_length / reach)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """One line."""
    yield WorkingStep("S = T * L / (L + E * cos(theta))", note=phrase("same force of the hand, other lever"))


_LONG = 110.0  # mm that wrench and adapter together are drawn


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Wrench and adapter from above: the hand at the left, the drive, the fastener at the end."""
    scale = _LONG / (given.wrench_length + abs(given.extension))
    drive, reach = given.wrench_length * scale, given.extension * scale
    end = drive + reach * math.cos(given.angle), reach * math.sin(given.angle)
    length, extension = show(given.wrench_length, LENGTH), show(given.extension, LENGTH)
    items: list[Item] = [
        *_wrench(drive),
        *_adapter(drive, end),
        Arrow((0, -20), (0, -5), height=LETTERS),
        Text((-4, -23 - LETTERS), phrase("hand at the middle of the grip"), LETTERS),
        along(0, drive, 4, f"L {length}", 12 + max(end[1], 0)),
        DimensionLine((drive, 0), end, f"E {extension}", -16, height=LETTERS),
    ]
    said = phrase(
        "A wrench of {length} with an adapter of {extension}: set to {show}.",
        length=length,
        extension=extension,
        show=show(found.setting, TORQUE),
    )
    return sheet(phrase("Wrench with an adapter"), said, items)


def _wrench(drive: float) -> Iterator[Item]:
    """The wrench from above: grip, tube and the head about its drive."""
    yield uncut(box(min(8.0, drive / 2), drive, -1.6, 1.6))
    yield Polyline(box(-4, min(30.0, drive / 2), -3.2, 3.2), closed=True, fill=Tone.METAL)
    yield Circle((drive, 0), 5.0, Tone.PLAIN)
    yield Polyline(box(drive - 1.8, drive + 1.8, -1.8, 1.8), closed=True, fill=Tone.METAL)


def _adapter(drive: float, end: Point) -> Iterator[Item]:
    """The adapter from the drive to the fastener, whose head has six sides."""
    turn = math.atan2(end[1], end[0] - drive)
    length = math.hypot(end[0] - drive, end[1])
    if length > 10:
        yield uncut(tuple(turned(point, turn, (drive, 0.0)) for point in box(5, length - 5, -2, 2)))
    yield Circle(end, 6.5, Tone.PLAIN)
    corners = tuple(
        turned((4.2 * math.cos(k * math.pi / 3), 4.2 * math.sin(k * math.pi / 3)), 0, end) for k in range(6)
    )
    yield Polyline(corners, closed=True, fill=Tone.METAL)
    yield CentreMark(end, 8.5)


CALCULATION = Calculation(
    title=phrase("Torque wrench with an adapter"),
    question=phrase("What do I set the wrench to with a crow's foot?"),
    area=phrase("Fasteners"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    drawing=drawing,
    example={"target": 100, "wrench_length": 400, "extension": 50},
    transforms=True,
    cautions=(
        phrase(
            "Hold the wrench at the middle of its grip: the setting is right only for the length measured to the hand."
        ),
        phrase("Check that the adapter's own strength and the wrench's range cover the figure."),
    ),
    sources=(
        Source(
            phrase("TM 9-254"),
            phrase("in a public reproduction"),
            phrase("torque wrench with angled extension, figure 4-6"),
            "read",
        ),
    ),
    limits=(phrase("A click or beam wrench that measures torque at its drive; adapter in the plane of the wrench."),),
)
