"""Stress in a fillet weld all round a tube: a shifter rod, a bracket, a shortened shaft's sleeve."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Drawing, Item, Polyline, Text, Tone
from specs.drawings.sections import LETTERS, along, axis, box, cut, cut_ring, diameter, sheet
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_most, open_where
from specs.engine.units import (
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    show,
)
from specs.phrase import phrase
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Loads act at the weld; their signs do not matter, since the weld goes all round."""

    diameter: float = quantity(LENGTH, phrase("Tube outside diameter"), symbol="D", above=0, group="Weld")
    leg: float = quantity(
        LENGTH, phrase("Leg of the fillet"), symbol="h", above=0, group="Weld", help=phrase("the smaller leg")
    )
    allowable: float = quantity(
        STRESS,
        phrase("Allowable shear stress in the throat"),
        symbol="tau_lim",
        above=0,
        group="Weld",
        help=phrase("with its factor"),
    )
    torque: float = quantity(TORQUE, phrase("Torque about the tube"), symbol="T", default=0, group="Load")
    bending: float = quantity(TORQUE, phrase("Bending moment"), symbol="M", default=0, group="Load")
    axial: float = quantity(FORCE, phrase("Force along the tube"), symbol="F_a", default=0, group="Load")
    shear: float = quantity(FORCE, phrase("Force across the tube"), symbol="F_s", default=0, group="Load")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """All stresses are taken as shear in the throat."""

    throat: float = result(LENGTH, phrase("Throat"), symbol="a")
    torsion_stress: float = result(STRESS, phrase("Stress from torque"), symbol="tau_T")
    bending_stress: float = result(STRESS, phrase("Stress from bending"), symbol="tau_M")
    direct_stress: float = result(STRESS, phrase("Stress from forces"), symbol="tau_F")
    combined_stress: float = result(STRESS, phrase("Greatest stress"), symbol="tau")
    safety_factor: float = result(RATIO, phrase("Allowable over greatest stress"), symbol="S")


# Peak over mean shear stress of a thin ring: V·Q/(I·b) with Q = 2 r² t, I = π r³ t, b = 2 t.
SHEAR_PEAK = 2


def solve(given: Inputs) -> Outputs:
    """Treat the weld as a line on the tube's circle, radius r (Shigley, tables 9-1 and 9-2), SI.

    Throat a = 0.707 h, area A = 2π r a, Ju = 2π r³, Iu = π r³. τT = T r/(a Ju), τM = M r/(a Iu), direct √(axial² +
    (2 shear)²)/A: shear peaks at twice its mean in a thin ring. Greatest: √((bending + axial)² + (torsion + peak
    shear)²), as if all peaks met at one point.
    Raises Refused where there is no load at all.
    """
    torque, bending, axial, shear = (abs(load) for load in (given.torque, given.bending, given.axial, given.shear))
    if not any((torque, bending, axial, shear)):
        raise Refused("torque", phrase("There is no load: give a torque, a bending moment or a force."))
    radius, throat = given.diameter / 2, 0.707 * given.leg
    area = 2 * math.pi * radius * throat
    torsion_stress, bending_stress = torque / (area * radius), 2 * bending / (area * radius)
    along = bending_stress + axial / area
    across = torsion_stress + SHEAR_PEAK * shear / area
    combined = math.hypot(along, across)
    return Outputs(
        throat=throat,
        torsion_stress=torsion_stress,
        bending_stress=bending_stress,
        direct_stress=math.hypot(axial, SHEAR_PEAK * shear) / area,
        combined_stress=combined,
        safety_factor=given.allowable / combined,
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Throat, each stress, the greatest, the factor."""
    yield WorkingStep("a = 0.707 * h")
    yield WorkingStep("tau_T = abs(T) / (2 * pi * a * (D / 2)**2)")
    yield WorkingStep("tau_M = abs(M) / (pi * a * (D / 2)**2)")
    yield WorkingStep(
        "tau_F = hypot(F_a, 2 * F_s) / (pi * D * a)", note=phrase("shear peaks at twice its mean in a thin ring")
    )
    yield WorkingStep(
        "tau = hypot(tau_M + abs(F_a) / (pi * D * a), tau_T + 2 * abs(F_s) / (pi * D * a))",
        note=phrase("along the tube and round it, peaks taken together"),
    )
    yield WorkingStep("S = tau_lim / tau")


# Shigley, tables 9-3 and 9-4: 0.3 of the tensile strength of the strongest electrode, E120, 827 MPa (from memory).
_STRONGEST = 248.2e6
_THICKEST = 1 / 4  # leg over diameter: beyond it a weld is no line on the circle; common practice, no source


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """The greatest stress against the allowable one."""
    check = at_most(
        phrase("Weld stress"), found.combined_stress, given.allowable, phrase("greatest stress in the throat")
    )
    thick = phrase("a leg over a quarter of the tube is no line") if given.leg > _THICKEST * given.diameter else None
    strong = phrase("no table allows a fillet weld more than 248 MPa") if given.allowable > _STRONGEST else None
    yield open_where(check, thick, strong)


# The tube is drawn this long and at most this high [mm]; its wall, which nobody asks for, a tenth of it.
_TUBE, _HIGH, _PLATE = 70.0, 44.0, 10.0


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The tube cut where it stands on its plate, the weld all round it, and the loads that act there."""
    half, leg = _HIGH / 2, max(min(_HIGH * given.leg / given.diameter, _HIGH / 3), 2.0)
    welds = [
        Polyline(((0, y), (leg, y), (0, y + side * leg)), closed=True, fill=Tone.SOLID)
        for y, side in ((half, 1), (-half, -1))
    ]
    loads = [
        ("torque", given.torque, TORQUE),
        ("bending", given.bending, TORQUE),
        ("along", given.axial, FORCE),
        ("across", given.shear, FORCE),
    ]
    told = [f"{name} {show(abs(load), kind)}" for name, load, kind in loads if load]
    outside, size = show(given.diameter, LENGTH), show(given.leg, LENGTH)
    items: list[Item] = [
        *cut_ring(0, _TUBE, 0.8 * half, half),
        *cut(box(-_PLATE, 0, -half - 14, half + 14), 135),
        *welds,
        axis(-_PLATE - 5, _TUBE + 6),
        diameter(_TUBE, 2 * half, outside, 9),
        along(0, leg, half + leg, phrase("leg {size}", size=size), 8),
        *(Text((_TUBE + 22, half - 2 - 7 * at), words, LETTERS) for at, words in enumerate(told)),
    ]
    said = phrase(
        "A fillet of {size} round a tube of {outside}; {told}: {show}.",
        size=size,
        outside=outside,
        told=", ".join(told),
        show=show(found.combined_stress, STRESS),
    )
    return sheet(phrase("Weld round a tube"), said, items)


CALCULATION = Calculation(
    title=phrase("Weld round a tube"),
    question=phrase("Will the weld round this tube hold?"),
    area=phrase("Shifter, mounts and welds"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    drawing=drawing,
    example={"diameter": 63.5, "leg": 4, "torque": 800, "bending": 150, "allowable": 145},
    cautions=(
        phrase(
            "Static load only: welds crack from repeated load at a fraction of this; driveshafts see millions of turns."
        ),
        phrase(
            "Check the tube's wall too: heat weakens it beside the weld, most of all hard-drawn tube and aluminium."
        ),
        phrase(
            "Welding by a qualified person; welds on steering, brakes, suspension and driveshafts need approval "
            "where the "
            "local rules ask for it."
        ),
        phrase(
            "Before welding on a vehicle: battery off, fuel and lines away, fire watch, no plating or paint in the arc."
        ),
    ),
    sources=(
        Source(
            phrase("Budynas and Nisbett, Shigley's Mechanical Engineering Design"),
            phrase("8th edition"),
            phrase("tables 9-1 and 9-2; solution of problem 9-8, in a public copy"),
            "read",
        ),
        Source(
            phrase("Khurmi and Gupta, A Textbook of Machine Design"), "2005", phrase("welded joints, circular fillet")
        ),
    ),
    limits=(
        phrase("An even fillet all round; leg small against the tube's diameter; the weld is treated as a line."),
        phrase("The throat is 0.707 of the leg: a flat 45° fillet, not a hollow one."),
    ),
    not_checked=(phrase("The tube, the part it is welded to, weld quality, fatigue, distortion."),),
    revision=4,
)
