"""Preload and tightening torque of a bolt, from its size, strength and friction: at its least, and at its greatest."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from specs.drawings.primitives import Drawing
from specs.engine.calculation import Calculation, WorkingStep, result
from specs.engine.checks import Check, at_least, at_most, not_known, open_where
from specs.engine.units import FORCE, RATIO, STRESS, TORQUE
from specs.joints import tightening_working as lines
from specs.joints.aim import YIELD, AimedBolt
from specs.joints.fastener import fastener_of, turned_face
from specs.joints.preload import aimed_preload, overdone, preload_range, turning_torque, why_open
from specs.joints.seat import demand_seat, resilience, settled, settling_loss
from specs.joints.tightened_picture import tightened
from specs.joints.turned_bolt import LOW_SOCKET, demand_friction
from specs.phrase import phrase
from specs.standards import lookup, seats
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs(AimedBolt):
    """Friction is that of the threads and of the face that is turned, head or nut."""


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The combined stress is tension with the twist that tightening leaves in the bolt."""

    preload: float = result(FORCE, phrase("Preload"), symbol="F")
    torque: float = result(TORQUE, phrase("Tightening torque"), symbol="T")
    nut_factor: float = result(RATIO, phrase("Nut factor"), symbol="K")
    thread_torque: float = result(TORQUE, phrase("Torque in the thread"), symbol="T_G")
    equivalent_stress: float = result(STRESS, phrase("Combined stress in the bolt"), symbol="sigma_v")
    yield_fraction: float = result(RATIO, phrase("Combined stress over yield"), symbol="y")
    preload_least: float | None = result(FORCE, phrase("Least preload, before settling"), symbol="F_min", optional=True)
    preload_greatest: float | None = result(FORCE, phrase("Greatest preload"), symbol="F_max", optional=True)
    greatest_stress: float | None = result(
        STRESS, phrase("Combined stress at the greatest"), symbol="sigma_g", optional=True
    )
    head_pressure: float | None = result(STRESS, phrase("Pressure under the head"), symbol="p", optional=True)
    settling_loss: float | None = result(FORCE, phrase("Preload lost to settling"), symbol="F_Z", optional=True)
    clamp_least: float | None = result(FORCE, phrase("Least preload, settled"), symbol="F_V", optional=True)


def solve(given: Inputs) -> Outputs:
    """Preload F [N] and torque T [N·m] after VDI 2230, and the range that friction and wrench make of it.

    Combined over tensile stress k = √(1 + 3·[1.5·(d2/d0)·(P/(π d2) + 2/√3·μG)]²): plastic twist of the circle d0.
    F = A·u·Rp0.2/k (basis yield) or A·u·Sp (basis proof), at the least friction of a range; T = F·(P/(2π) + d2·μG/√3 +
    DKm·μK/2) + Tp, or K·F·d + Tp where a nut factor is given. At the torque that is set: greatest preload at + wrench
    and least friction, least at − wrench and greatest friction; or both apart by a tightening factor. Low heads take
    0.8 of yield and proof. Settling F_Z = f_Z/(δS + δP). Lengths [m], area A [m²], strengths [Pa].
    Raises Refused for a thread, grade or head that no table has, for a grade of the other system of threads, for basis
    proof where the grade has no proof stress, for an inch thread without a bearing diameter, for friction said twice.
    """
    demand_friction(given)
    demand_seat(given, given.head == "countersunk")
    bolt = fastener_of(given, given.prevailing_torque)
    preload = aimed_preload(given, bolt)
    thread_torque = preload * bolt.twisted.lever
    torque = given.prevailing_torque + turning_torque(given, bolt, preload, thread_torque)
    stress = bolt.twisted.stress(preload)
    least, greatest = preload_range(given, bolt, preload, torque)
    loss = settling_loss(given, bolt.thread, bolt.ring)
    pressing = greatest or preload * overdone(given, torque)
    return Outputs(
        preload=preload,
        torque=torque,
        nut_factor=torque / (preload * bolt.thread.major_diameter),
        thread_torque=thread_torque,
        equivalent_stress=stress,
        yield_fraction=stress / bolt.yield_strength,
        preload_least=least,
        preload_greatest=greatest,
        greatest_stress=bolt.twisted.stress(greatest) if greatest else None,
        head_pressure=pressing / bolt.ring.area if bolt.ring else None,
        settling_loss=loss,
        clamp_least=least - loss if least is not None and loss is not None else None,
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Combined stress factor, preload, torques, nut factor, stress, range, pressure, settling."""
    bolt = fastener_of(given, given.prevailing_torque)
    strength = bolt.yield_strength if given.basis == YIELD else bolt.proof or 0.0
    yield from lines.preload(bolt.twisted, strength, bolt.strength, bolt.share, given.basis == YIELD)
    diameter = None if given.nut_factor is not None else turned_face(given, bolt.thread)
    yield from lines.torque(bolt.twisted, diameter, given.under_head)
    yield from lines.stress(bolt.twisted, bolt.yield_strength)
    if found.preload_greatest is not None:
        set_to = given.set_torque or found.torque
        by_factor = None if given.tightening_factor is None else given.tightening_factor
        yield from lines.range_of(bolt.twisted, set_to, diameter, given.greatest, by_factor)
    if bolt.ring and found.head_pressure is not None:
        yield from lines.pressure(bolt.ring, found.head_pressure * bolt.ring.area)
    if bolt.ring and found.settling_loss is not None:
        yield from lines.settling(settled(given), *resilience(given, bolt.thread, bolt.ring))
        if found.clamp_least is not None:
            yield WorkingStep("F_V = F_min - F_Z")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the greatest stress and pressure with what bolt and clamped part bear, the least with nothing at all."""
    bolt = fastener_of(given, given.prevailing_torque)
    reached = found.preload * overdone(given, found.torque)
    strongest = found.preload_greatest
    words = phrase(
        "tension and twist while tightening, against {yield_kind} of {grade}",
        yield_kind=bolt.strength.yield_kind,
        grade=bolt.strength.grade,
    )
    worst = bolt.twisted.stress(strongest or reached)
    yield _judged(
        given, found, at_most(phrase("Combined stress"), worst, bolt.yield_strength, words + given.head_words)
    )
    if bolt.proof is not None:
        words = phrase(
            "greatest preload over the stress area, against the proof stress of {grade}", grade=bolt.strength.grade
        )
        tension = (strongest or reached) / bolt.thread.stress_area
        yield _judged(given, found, at_most(phrase("Tension"), tension, bolt.proof, words + given.head_words))
    yield _pressure_check(given, found)
    if found.preload_least is None:
        yield not_known(phrase("Least preload"), why_open(given))
    elif found.clamp_least is not None:
        yield _clamp_check(given, found.clamp_least)


def _clamp_check(given: Inputs, left: float) -> Check:
    """Whether enough is left; where nobody says what is needed, only nothing at all is known not to be."""
    check = at_least(
        phrase("Clamp left after settling"),
        left,
        given.clamp_needed or 0.0,
        phrase("least preload less settling"),
        FORCE,
    )
    lacking = None if given.clamp_needed else phrase("the clamp that the joint needs was not given")
    return open_where(check, lacking, given.too_sure)


def _judged(given: Inputs, found: Outputs, check: Check) -> Check:
    """A check at the greatest preload; where that is open it may fail at a friction that was given, but not hold."""
    if check.passed and given.head == LOW_SOCKET and check.name in ("Combined stress", "Tension"):
        return not_known(
            check.name, phrase("the 0.8 of a low socket head is from memory: look it up in DIN 7984 or DIN 6912")
        )
    if found.preload_greatest is not None or not (check.passed or given.is_assumed):
        return open_where(check, given.too_sure)
    return not_known(check.name, why_open(given))


def _pressure_check(given: Inputs, found: Outputs) -> Check:
    name = phrase("Pressure under the head")
    if found.head_pressure is None:
        return not_known(name, phrase("the size of the face under the head was not given"))
    if given.clamped_material is None:
        return not_known(name, phrase("the clamped material was not given"))
    limit = seats.pressure_limits()[given.clamped_material].limit
    words = phrase(
        "greatest preload on the face under the head, against what {clamped_material} bears",
        clamped_material=given.clamped_material,
    )
    check = at_most(name, found.head_pressure, limit, words)
    if check.passed and given.washer_thickness and _pressed_bare(given, found) > limit:
        return not_known(name, phrase("how far a washer spreads it, 1.6 times its thickness, is from memory: check"))
    return _judged(given, found, check)


def _pressed_bare(given: Inputs, found: Outputs) -> float:
    """The pressure [Pa] without what the washer spreads."""
    bolt, bare = (fastener_of(one, given.prevailing_torque) for one in (given, replace(given, washer_thickness=None)))
    assert bolt.ring
    assert bare.ring
    assert found.head_pressure is not None
    return found.head_pressure * bolt.ring.area / bare.ring.area


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what the numbers call for."""
    thread = lookup.thread(given.thread)
    if given.is_assumed:
        yield phrase(
            "Friction was not given: these figures take 0.12 for it. Choose its row before anybody tightens to them."
        )
    if given.grade.startswith("A"):
        yield phrase("Stainless threads gall: use an anti-seize paste and its friction figures, and tighten slowly.")
        if thread.major_diameter > _STAINLESS_TO:
            yield phrase(
                "Above M24 the strength of stainless bolts is by agreement: ask for the supplier's certificate."
            )
    if given.grade == "12.9":
        yield phrase("Class 12.9 may crack from hydrogen: no acid pickling, no electroplating, no corrosive place.")
    if found.clamp_least is not None and found.clamp_least <= 0:
        yield phrase("Settling may take all of the preload: use a longer bolt, smoother faces or fewer of them.")
    elif found.preload_least is not None and found.settling_loss is None:
        yield phrase("The least preload is before settling: give the clamped length, a short bolt loses much of it.")
    if given.bearing_diameter is not None and given.bearing_diameter <= thread.major_diameter:
        yield phrase("The mean diameter of the turned face is not larger than the thread: look at the figure again.")


def drawing(given: Inputs, found: Outputs) -> Drawing | None:
    """The bolt in its part, and where the torque goes; what is not known of either is left out."""
    return tightened(given, fastener_of(given, given.prevailing_torque), found)


# ISO 3506-1:2009, table 2, note: above M24 the properties are agreed between user and maker (from memory).
_STAINLESS_TO = 0.024

CALCULATION = Calculation(
    title=phrase("Bolt preload and torque"),
    question=phrase("How tight does this bolt go, and what torque gets it there?"),
    area=phrase("Fasteners"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "thread": "M10",
        "grade": "10.9",
        "friction": phrase("B: steel, greased or oiled"),
        "clamped_material": "S355J2",
        "grip": 30,
    },
    cautions=(
        phrase("The maker's figure for this bolt in this place comes first; this is for joints without one."),
        phrase(
            "A torque wrench scatters the preload by ±25 to 30 % even with the right friction: least and greatest "
            "count."
        ),
        phrase(
            "Friction decides: dry, oiled, plated or with locking compound changes the torque by half. Use the "
            "condition "
            "that will be on the bench, and clean threads."
        ),
        phrase("Bolts marked single-use, or tightened by angle past yield, are not used again."),
    ),
    sources=(
        Source(
            phrase("VDI 2230 part 1, Systematic calculation of highly stressed bolted joints"),
            "2003",
            phrase("5.4.3 and R8"),
        ),
        Source(phrase("VDI 2230 part 1"), "2003", phrase("tables A1, A5 and A9, in public reproductions"), "read"),
        Source(
            phrase("VDI 2230 part 1"),
            "2003",
            phrase("5.1 resilience, table 5 settling, spread through a washer: check"),
        ),
        Source(
            phrase("ISO 14581, scope: 80 % of the thread's load in low countersunk heads"),
            "2013",
            phrase("note 1"),
            "read",
        ),
        Source(
            phrase("ISO 7380-2, scope: 80 % of the thread's load in button heads, every class"), "2022", "note", "read"
        ),
        Source(
            phrase("DIN 7991, countersunk: about 80 % of the preload"),
            "1986",
            phrase("scope, in a public copy"),
            "read",
        ),
        Source(phrase("ISO 10642, DIN 7984, DIN 6912"), "2019, 2009, 2009", phrase("load of low heads: check")),
        Source(phrase("ISO 6789, torque tools: 4 % of the setting"), "2017", "5.1"),
        Source(
            phrase("ISO 898-1, mechanical properties of bolts"),
            "2013",
            phrase("table 3, in a public reproduction"),
            "read",
        ),
        Source(phrase("SAE J429, inch bolts"), "1999", phrase("table 1, in a public reproduction"), "read"),
        Source(phrase("ISO 3506-1, stainless bolts"), "2009", phrase("table 2")),
        Source(
            phrase("ISO 4014, ISO 4762, EN 1665, ISO 10642, ISO 273"),
            "2011, 2004, 1997, 2004, 1979",
            phrase("head and hole tables"),
        ),
    ),
    limits=(
        phrase("Room temperature, static joint, one bolt tightened by turning the head or nut."),
        phrase("Tightening within the elastic range; angle-controlled tightening past yield is outside."),
        phrase(
            "A countersunk head bears on its 90° cone between its smallest diameter and the edge of an ISO 273 hole."
        ),
    ),
    not_checked=(
        phrase("Thread engagement, loads in service, fatigue, angle stages."),
        phrase("Nuts: a nut of the class that belongs to the bolt is taken for granted."),
    ),
    revision=6,
)
