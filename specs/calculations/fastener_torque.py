"""Preload and tightening torque of a bolt, from its size, strength and friction."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.chart import Bar, bars
from specs.drawings.primitives import Drawing
from specs.drawings.scale import Axis
from specs.engine.calculation import Calculation, Refused, WorkingStep, choice, quantity, result, text
from specs.engine.checks import Check, at_most
from specs.engine.sources import Source
from specs.engine.units import (
    AREA,
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    show,
)
from specs.standards import (
    classes,
    friction,
    heads,
    lookup,
)
from specs.standards.classes import StrengthClass
from specs.standards.threads import Thread

YIELD, PROOF = "yield", "proof"


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Friction is that of the threads and of the face that is turned, head or nut."""

    thread: str = text("Thread", group="Bolt", help="M10, M10x1.25, 1/2-20 UNF")
    grade: str = choice(
        "Property class or grade", classes.grades(), group="Bolt", help="as marked on the head; SAE for inch bolts"
    )
    head: str = choice("Head", heads.kinds(), default="hex", group="Bolt", help="metric heads; the turned face")
    bearing_diameter: float | None = quantity(
        LENGTH,
        "Mean diameter of the turned face",
        symbol="D_Km",
        above=0,
        optional=True,
        group="Bolt",
        help="instead of a head: (outside of the bearing face + hole) / 2; needed for inch bolts",
    )
    mu_thread: float = quantity(
        RATIO,
        "Friction in the thread",
        symbol="mu_G",
        default=0.12,
        above=0,
        at_most=1,
        group="Friction",
        help=friction.guide(),
    )
    mu_head: float = quantity(
        RATIO,
        "Friction under the head",
        symbol="mu_K",
        default=0.12,
        above=0,
        at_most=1,
        group="Friction",
        help="as in the thread, for the faces that turn on each other",
    )
    nut_factor: float | None = quantity(
        RATIO,
        "Nut factor, where the torque shall follow from it",
        symbol="K_given",
        above=0,
        at_most=1,
        optional=True,
        group="Friction",
        help="torque = K F d, from a trial on the same joint",
    )
    basis: str = choice(
        "Tighten to a share of", (YIELD, PROOF), default=YIELD, group="Aim", help="yield: VDI 2230; proof: proof load"
    )
    utilisation: float = quantity(RATIO, "Share", symbol="u", default=0.9, above=0, at_most=1, group="Aim")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The combined stress is tension with the twist that tightening leaves in the bolt."""

    preload: float = result(FORCE, "Preload", symbol="F")
    torque: float = result(TORQUE, "Tightening torque", symbol="T")
    nut_factor: float = result(RATIO, "Nut factor", symbol="K")
    thread_torque: float = result(TORQUE, "Torque in the thread", symbol="T_G")
    equivalent_stress: float = result(STRESS, "Combined stress in the bolt", symbol="sigma_v")
    yield_fraction: float = result(RATIO, "Combined stress over yield", symbol="y")


def solve(given: Inputs) -> Outputs:
    """Preload F [N] and torque T [N·m] after VDI 2230.

    Combined over tensile stress k = √(1 + 3·[1.5·(d2/d0)·(P/(π d2) + 2/√3·μG)]²): plastic twist of the circle d0.
    F = A·u·Rp0.2/k (basis yield) or A·u·Sp (basis proof); T = F·(P/(2π) + d2·μG/√3 + DKm·μK/2), or K·F·d where a nut
    factor is given. Lengths [m], area A [m²], strengths [Pa].
    Raises Refused for a thread, grade or head that no table has, for a grade of the other system of threads, for basis
    proof where the grade has no proof stress, and for an inch thread without a bearing diameter.
    """
    thread = lookup.thread(given.thread)
    strength = lookup.strength(given.grade, thread)
    preload = _preload(given, thread, strength)
    thread_torque = preload * (thread.pitch / (2 * math.pi) + thread.pitch_diameter * given.mu_thread / math.sqrt(3))
    torque = _torque(given, thread, preload, thread_torque)
    stress = preload / thread.stress_area * _twist(given, thread)
    return Outputs(
        preload=preload,
        torque=torque,
        nut_factor=torque / (preload * thread.major_diameter),
        thread_torque=thread_torque,
        equivalent_stress=stress,
        yield_fraction=stress / strength.yield_strength,
    )


def _twist(given: Inputs, thread: Thread) -> float:
    """How many times the tensile stress the combined stress is, k."""
    d2 = thread.pitch_diameter
    lead = thread.pitch / (math.pi * d2) + 2 / math.sqrt(3) * given.mu_thread
    return math.sqrt(1 + 3 * (1.5 * d2 / thread.mean_diameter * lead) ** 2)


def _preload(given: Inputs, thread: Thread, strength: StrengthClass) -> float:
    if given.basis == YIELD:
        return thread.stress_area * given.utilisation * strength.yield_strength / _twist(given, thread)
    if strength.proof is None:
        raise Refused("basis", f"ISO 3506-1 states no proof stress for {strength.grade}; choose yield.")
    return thread.stress_area * given.utilisation * strength.proof


def _torque(given: Inputs, thread: Thread, preload: float, thread_torque: float) -> float:
    if given.nut_factor is not None:
        return given.nut_factor * preload * thread.major_diameter
    return thread_torque + preload * _bearing(given, thread) * given.mu_head / 2


def _bearing(given: Inputs, thread: Thread) -> float:
    return given.bearing_diameter or lookup.bearing_diameter(given.head, thread)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Combined stress factor, preload, torques, nut factor, stress."""
    thread = lookup.thread(given.thread)
    strength = lookup.strength(given.grade, thread)
    values = {
        "d": (thread.major_diameter, LENGTH),
        "P": (thread.pitch, LENGTH),
        "d_2": (thread.pitch_diameter, LENGTH),
        "d_0": (thread.mean_diameter, LENGTH),
        "A": (thread.stress_area, AREA),
        "k": (_twist(given, thread), RATIO),
        "R": (strength.yield_strength, STRESS),
        "S_p": (strength.proof or 0.0, STRESS),
    }
    yield WorkingStep(
        "k = sqrt(1 + 3 * (1.5 * d_2 / d_0 * (P / (pi * d_2) + 2 / sqrt(3) * mu_G))**2)",
        values,
        "combined stress over tension: the thread's friction twists the bolt",
    )
    if given.basis == YIELD:
        yield WorkingStep("F = A * u * R / k", values, f"R is {strength.yield_kind} of {given.grade} at this size")
    else:
        yield WorkingStep("F = A * u * S_p", values, f"proof stress of {given.grade} at this size")
    yield WorkingStep("T_G = F * (P / (2 * pi) + d_2 * mu_G / sqrt(3))", values, "lead and friction of the thread")
    if given.nut_factor is not None:
        yield WorkingStep("T = K_given * F * d", values, "by the nut factor")
    else:
        bearing = {**values, "D_Km": (_bearing(given, thread), LENGTH)}
        yield WorkingStep("T = T_G + F * D_Km * mu_K / 2", bearing, "and friction under the head")
    yield WorkingStep("K = T / (F * d)", values)
    yield WorkingStep("sigma_v = F / A * k", values)
    yield WorkingStep("y = sigma_v / R", values)


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare with the strengths that the grade's standard states."""
    thread = lookup.thread(given.thread)
    strength = lookup.strength(given.grade, thread)
    yield at_most(
        "Combined stress",
        found.equivalent_stress,
        strength.yield_strength,
        f"tension and twist while tightening, against {strength.yield_kind} of {strength.grade}",
    )
    if strength.proof is not None:
        yield at_most(
            "Tension",
            found.preload / thread.stress_area,
            strength.proof,
            f"preload over the stress area, against the proof stress of {strength.grade}",
        )


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what the numbers call for."""
    thread = lookup.thread(given.thread)
    if given.grade.startswith("A"):
        yield "Stainless threads gall: use an anti-seize paste and its friction figures, and tighten slowly."
        if thread.major_diameter > _STAINLESS_TO:
            yield "Above M24 the strength of stainless bolts is by agreement: ask for the supplier's certificate."
    if given.grade == "12.9":
        yield "Class 12.9 may crack from hydrogen: no acid pickling, no electroplating, no corrosive place."
    if given.bearing_diameter is not None and given.bearing_diameter <= thread.major_diameter:
        yield "The mean diameter of the turned face is not larger than the thread: look at the figure again."


def drawing(given: Inputs, found: Outputs) -> Drawing | None:
    """Where the torque goes; None where a given nut factor is too low for the friction given beside it."""
    if found.thread_torque >= found.torque:
        return None
    stretch = found.preload * lookup.thread(given.thread).pitch / (2 * math.pi)
    turned_face = "friction under the head" if given.nut_factor is None else "the rest, by the nut factor"
    parts = (("stretches the bolt", stretch), ("friction in the thread", found.thread_torque - stretch))
    rows, done = [], 0.0
    for words, torque in (*parts, (turned_face, found.torque - found.thread_torque)):
        share = 100 * torque / found.torque
        rows.append(Bar(words, done, done + share, f"{share:.0f} %"))
        done += share
    return bars(
        "Where the torque goes",
        f"Of {show(found.torque, TORQUE)}, {rows[0].note} stretches the bolt; the rest is friction.",
        axis=Axis("share of the torque [%]", 0, 100),
        rows=rows,
    )


# ISO 3506-1:2009, table 2, note: above M24 the properties are agreed between user and maker (from memory).
_STAINLESS_TO = 0.024

CALCULATION = Calculation(
    title="Bolt preload and torque",
    question="How tight does this bolt go, and what torque gets it there?",
    area="Fasteners",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={"thread": "M10", "grade": "10.9"},
    cautions=(
        "The maker's figure for this bolt in this place comes first; this is for joints without one.",
        "A torque wrench scatters the preload by ±25 to 30 % even with the right friction.",
        "Friction decides: dry, oiled, plated or with locking compound changes the torque by half. Use the condition "
        "that will be on the bench, and clean threads.",
        "Bolts marked single-use, or tightened by angle past yield, are not used again.",
    ),
    sources=(
        Source("VDI 2230 part 1, Systematic calculation of highly stressed bolted joints", "2003", "5.4.3 and R8"),
        Source("VDI 2230 part 1", "2003", "tables A1, 90 % of Rp0.2, in public catalogue pages", "read"),
        Source("ISO 898-1, mechanical properties of bolts", "2013", "table 3, in a public reproduction", "read"),
        Source("SAE J429, inch bolts", "1999", "table 1, in a public reproduction", "read"),
        Source("ISO 3506-1, stainless bolts", "2009", "table 2"),
        Source(
            "ISO 4014, ISO 4762, EN 1665, ISO 10642, ISO 273", "2011, 2004, 1997, 2004, 1979", "head and hole tables"
        ),
    ),
    limits=(
        "Room temperature, static joint, one bolt tightened by turning the head or nut.",
        "Tightening within the elastic range; angle-controlled tightening past yield is outside.",
        "A countersunk head bears on its 90° cone between its smallest diameter and the edge of an ISO 273 hole.",
    ),
    not_checked=(
        "Pressure under the head, thread engagement, loads in service, settling, fatigue.",
        "Nuts: a nut of the class that belongs to the bolt is taken for granted.",
    ),
)
