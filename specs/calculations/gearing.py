"""Road speed in every gear, and what a shift does to the engine's speed."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from specs.drawings.chart import Curve, plot
from specs.drawings.primitives import Drawing, Role, Stroke
from specs.drawings.scale import Axis
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantities, quantity, results, text
from specs.engine.units import (
    ANGULAR_SPEED,
    LENGTH,
    RATIO,
    ROAD_SPEED,
    SPEED,
    show,
)
from specs.engine.working import in_radians
from specs.phrase import joined, phrase
from specs.standards.publications import Source
from specs.standards.tyres import read_tyre

_WRITTEN = 12


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The tyre by its size or by its rolling radius, one of them."""

    designation: str | None = text(phrase("Tyre size"), optional=True, group="Tyre", help=phrase("such as 245/40R18"))
    rolling_radius: float | None = quantity(
        LENGTH,
        phrase("Rolling radius"),
        above=0,
        optional=True,
        group="Tyre",
        help=phrase("instead of the size, where it was measured"),
    )
    deflection: float = quantity(
        RATIO,
        phrase("Share by which it rolls smaller"),
        symbol="delta",
        default=0.03,
        at_least=0,
        below=0.5,
        group="Tyre",
        help=phrase("used with the size only"),
    )
    ratios: tuple[float, ...] = quantities(RATIO, phrase("Gearbox ratios, first gear first"), above=0, group="Gears")
    final_drive: float = quantity(RATIO, phrase("Final drive"), symbol="i_f", above=0, group="Gears")
    engine_speed: float = quantity(
        SPEED,
        phrase("Engine speed at the shift"),
        symbol="n",
        above=0,
        group="Engine",
        help=phrase("usually the greatest"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """One figure a gear; steps and speeds after the shift one a shift."""

    overall_ratios: tuple[float, ...] = results(RATIO, phrase("Overall ratios"))
    speeds: tuple[float, ...] = results(ROAD_SPEED, phrase("Road speed in each gear"))
    steps: tuple[float, ...] = results(RATIO, phrase("Steps between gears"))
    speed_after_shift: tuple[float, ...] = results(SPEED, phrase("Engine speed after each shift"))


def solve(given: Inputs) -> Outputs:
    """Road speed v = ω r/(i_k i_f) [m/s], ω engine speed [rad/s], r rolling radius [m]; step i_k/i_(k+1).

    After a shift at equal road speed the engine turns at ω·i_(k+1)/i_k. Raises Refused unless exactly one of tyre size
    and rolling radius is given.
    """
    radius = _radius(given)
    overall = tuple(ratio * given.final_drive for ratio in given.ratios)
    steps = tuple(low / high for low, high in pairwise(given.ratios))
    return Outputs(
        overall_ratios=overall,
        speeds=tuple(given.engine_speed * radius / ratio for ratio in overall),
        steps=steps,
        speed_after_shift=tuple(given.engine_speed / step for step in steps),
    )


def _radius(given: Inputs) -> float:
    if given.designation is not None and given.rolling_radius is not None:
        raise Refused("rolling_radius", phrase("cannot be given together with a tyre size: leave one of them out."))
    if given.rolling_radius is not None:
        return given.rolling_radius
    if given.designation is None:
        raise Refused("designation", phrase("is missing: give the tyre size, or else the rolling radius."))
    try:
        return read_tyre(given.designation).free_diameter / 2 * (1 - given.deflection)
    except ValueError as wrong:
        raise Refused("designation", str(wrong)) from None


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """The radius, then each gear's speed and each shift's."""
    radius = _radius(given)
    if given.designation is not None:
        diameter = {"D": (read_tyre(given.designation).free_diameter, LENGTH), "r": (radius, LENGTH)}
        yield WorkingStep("r = D / 2 * (1 - delta)", diameter, phrase("D: free diameter of the tyre size"))
    yield in_radians("omega", given.engine_speed, "n")
    turning = {"r": (radius, LENGTH), "omega": (given.engine_speed, ANGULAR_SPEED)}
    for k, (ratio, speed) in enumerate(zip(given.ratios[:_WRITTEN], found.speeds, strict=False), 1):
        values = {**turning, f"i_{k}": (ratio, RATIO), f"v_{k}": (speed, ROAD_SPEED)}
        yield WorkingStep(f"v_{k} = omega * r / (i_{k} * i_f)", values, phrase("gear {k}", k=k))
    for k, speed in enumerate(found.speed_after_shift[: _WRITTEN - 1], 1):
        ratios = {f"i_{k}": (given.ratios[k - 1], RATIO), f"i_{k + 1}": (given.ratios[k], RATIO)}
        yield WorkingStep(
            f"n_{k + 1} = n * i_{k + 1} / i_{k}",
            {**ratios, f"n_{k + 1}": (speed, SPEED)},
            phrase("shift {k} to {k_2}", k=k, k_2=k + 1),
        )


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the gears are not in order: a shift up would then raise the engine's speed."""
    up = [k for k, step in enumerate(found.steps, 1) if step <= 1]
    for k in up:
        yield phrase(
            "Gear {k} is not higher than gear {k_2}: the shift raises the engine's speed. Are the ratios in order?",
            k=k + 1,
            k_2=k,
        )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Road speed over engine speed, a line a gear; dashed lines are the shifts, at one road speed."""
    turns = SPEED.drawn(given.engine_speed)
    top = [ROAD_SPEED.drawn(speed) for speed in found.speeds]
    said = [f"{speed:.0f} {ROAD_SPEED.drawn_unit}" for speed in top]
    after = [SPEED.drawn(speed) for speed in found.speed_after_shift]
    lines = [
        Curve(((0.0, 0.0), (turns, v)), f"{k}: {words}") for k, (v, words) in enumerate(zip(top, said, strict=True), 1)
    ]
    drops = [
        Curve(((turns, v), (n, v)), role=Role.LIMIT, stroke=Stroke.DASHED) for v, n in zip(top, after, strict=False)
    ]
    falls = [
        phrase("{gear} to {next}: {speed}", gear=k, next=k + 1, speed=show(n, SPEED))
        for k, n in enumerate(found.speed_after_shift, 1)
    ]
    gears = joined(", ", (phrase("gear {k} {words}", k=k, words=words) for k, words in enumerate(said, 1)))
    shifts = phrase("Engine speed after the shift {falls}.", falls=joined("; ", falls)) if falls else ""
    return plot(
        phrase("Road speed over engine speed"),
        phrase("At {speed}: {gears}. {shifts}", speed=show(given.engine_speed, SPEED), gears=gears, shifts=shifts),
        x=Axis.around(phrase("engine speed, rpm (dashed: shifts)"), [0.0, *after, turns]),
        y=Axis.around(phrase("road speed, {drawn_unit}", drawn_unit=ROAD_SPEED.drawn_unit), [0.0, *top]),
        curves=[*drops, *lines],
    )


CALCULATION = Calculation(
    title=phrase("Gearing"),
    question=phrase("What does the new gearbox do to the revs?"),
    area=phrase("Gearing"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    warn=warn,
    drawing=drawing,
    example={
        "designation": "225/45R17",
        "ratios": [3.35, 1.99, 1.34, 1.0, 0.82],
        "final_drive": 3.73,
        "engine_speed": 6000,
    },
    transforms=True,
    answered_by="speed_after_shift",
    cautions=(
        phrase("A speed that the gears allow is not one that tyres, shaft, brakes or the law allow."),
        phrase(
            "A shift too early drops the engine below its idle, one too low down over-speeds it: compare with its "
            "limits."
        ),
    ),
    sources=(
        Source(
            phrase("R. S. Khurmi and J. K. Gupta, Theory of Machines"),
            "",
            phrase("Example 3.15, as checked against"),
            "read",
        ),
        Source(
            phrase("Engine speed from road speed, ratio and tyre diameter (336 × mph × ratio / inches)"), "", "", "read"
        ),
    ),
    limits=(phrase("No slip of clutch, converter or tyre; tyre at usual load and pressure."),),
    not_checked=(phrase("Whether the engine has the power to reach the speed in that gear."),),
)
