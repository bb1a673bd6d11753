"""Whether the threads hold as long as the bolt: stripping against breaking, and the engagement that this takes."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from specs.drawings.primitives import Drawing, Item, Text
from specs.drawings.sections import LETTERS, along, axis, sheet, tapped, threaded
from specs.engine.calculation import Calculation, Refused, WorkingStep, choice, quantity, result, text, text_result
from specs.engine.checks import Check, at_least, open_where
from specs.engine.units import AREA, FORCE, LENGTH, STRESS, show
from specs.phrase import phrase
from specs.standards import limits, lookup, materials
from specs.standards.publications import Source
from specs.standards.threads import Thread

METRIC, UNIFIED, BASIC = "6H/6g", "2B/2A", "basic"
BOLT, EXTERNAL, INTERNAL = phrase("bolt"), phrase("external thread"), phrase("internal thread")
# Common practice (von Mises gives 0.577), used where the bolt's shear strength is not given.
SHEAR_SHARE = 0.6
# Bolts are made up to a fifth stronger than the least of their class (common practice, no source).
STRONGER = 1.2
# What threads are cut into in this trade, weakest first.
_TAPPED = (phrase("EN AC-44100-F sand"), phrase("EN AC-46000-F pressure die"), "6082-T6", "EN-GJL-250")


_strength = partial(quantity, above=0, group="Strength")


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Strengths are the least that can be relied on; for castings that is often well under the book's value."""

    thread: str = text(phrase("Thread"), group="Thread", help=phrase("M10, M10x1.25, 3/8-16 UNC"))
    engagement: float = quantity(
        LENGTH,
        phrase("Engaged length of full thread"),
        symbol="L_e",
        above=0,
        group="Thread",
        help=phrase("without chamfers"),
    )
    tolerance: str | None = choice(
        phrase("Sizes"),
        (METRIC, UNIFIED, BASIC),
        optional=True,
        group="Thread",
        help=phrase("the thinnest threads the class allows: 6H/6g for metric, 2B/2A for inch; basic: nominal sizes"),
    )
    bolt_tensile_strength: float = _strength(
        STRESS, phrase("Least tensile strength of the bolt"), symbol="R_m", help=phrase("8.8: 800, 10.9: 1040 MPa")
    )
    bolt_tensile_greatest: float | None = _strength(
        STRESS,
        phrase("Greatest tensile strength of the bolt"),
        symbol="R_given",
        optional=True,
        help=phrase("1.2 of the least where nothing is given; the tapped thread must outlast the strongest bolt"),
    )
    bolt_shear_strength: float | None = _strength(
        STRESS,
        phrase("Shear strength of the bolt"),
        symbol="tau_given",
        optional=True,
        help=phrase("0.6 of its tensile strength where nothing is given"),
    )
    nut_shear_strength: float = _strength(
        STRESS,
        phrase("Shear strength of the tapped part"),
        symbol="tau_n",
        at_most=1200,
        help=phrase(
            "least of {shear_guide}; an old casting of unknown alloy as the first",
            shear_guide=materials.shear_guide(*_TAPPED),
        ),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Loads are along the bolt, static."""

    external_shear_area: float = result(AREA, phrase("Shear area of the bolt's thread"), symbol="A_e")
    internal_shear_area: float = result(AREA, phrase("Shear area of the tapped thread"), symbol="A_i")
    external_strip_load: float = result(FORCE, phrase("Load that strips the bolt's thread"), symbol="F_e")
    internal_strip_load: float = result(FORCE, phrase("Load that strips the tapped thread"), symbol="F_i")
    bolt_break_load: float = result(FORCE, phrase("Load that breaks the bolt"), symbol="F_b")
    minimum_engagement: float = result(LENGTH, phrase("Engagement at which the bolt breaks first"), symbol="L_min")
    weakest: str = text_result(phrase("What goes first"))


@dataclass(frozen=True)
class _Sizes:
    """The sizes [m] at which threads are cut: D1 and D2 of the tapped hole, d2 and d of the bolt."""

    internal_minor: float
    external_pitch: float
    external_major: float
    internal_pitch: float


def _chosen(given: Inputs, thread: Thread) -> str:
    return given.tolerance or (METRIC if thread.is_metric else UNIFIED)


def _sizes(given: Inputs, thread: Thread) -> _Sizes:
    chosen, fitting = _chosen(given, thread), METRIC if thread.is_metric else UNIFIED
    if chosen == BASIC:
        pitch = thread.pitch_diameter
        return _Sizes(thread.internal_minor_diameter, pitch, thread.major_diameter, pitch)
    if chosen != fitting:
        system = "inch" if thread.is_metric else "metric"
        raise Refused(
            "tolerance",
            phrase(
                "{chosen} is for {system} threads; choose {fitting} for {designation}.",
                chosen=chosen,
                system=system,
                fitting=fitting,
                designation=thread.designation,
            ),
        )
    found = limits.find(thread)
    return _Sizes(
        found.internal_minor_max, found.external_pitch_min, found.external_major_min, found.internal_pitch_max
    )


def _bolt_shear(given: Inputs) -> float:
    return given.bolt_shear_strength or SHEAR_SHARE * given.bolt_tensile_strength


def _greatest(given: Inputs) -> float:
    return given.bolt_tensile_greatest or STRONGER * given.bolt_tensile_strength


def solve(given: Inputs) -> Outputs:
    """Shear areas after FED-STD-H28/2, with n = 1/P threads a length and engagement Le, SI.

    Bolt thread, cut at the tapped hole's minor diameter: π n Le D1max [1/(2n) + 0.57735 (d2min − D1max)].
    Tapped thread, cut at the bolt's major diameter: π n Le dmin [1/(2n) + 0.57735 (dmin − D2max)].
    Limits: ISO 965-2 for 6H/6g, ASME B1.1 for 2B/2A, else basic sizes. Bolt: stress area times tensile strength. The
    least engagement is that at which the bolt's thread outlasts the bolt, and the tapped thread a bolt of the greatest
    strength; no further factor is put on it.
    Raises Refused for a thread that the tables lack, limits of the other system, a greatest strength below the least.
    """
    if _greatest(given) < given.bolt_tensile_strength:
        raise Refused("bolt_tensile_greatest", phrase("must be at least the least tensile strength of the bolt."))
    if _bolt_shear(given) > given.bolt_tensile_strength:
        raise Refused(
            "bolt_shear_strength", phrase("must be at most the tensile strength: no metal is stronger in shear.")
        )
    thread = lookup.thread(given.thread)
    sizes = _sizes(given, thread)
    external = _shear_area(given, thread, sizes.internal_minor, sizes.external_pitch - sizes.internal_minor)
    internal = _shear_area(given, thread, sizes.external_major, sizes.external_major - sizes.internal_pitch)
    breaks = thread.stress_area * given.bolt_tensile_strength
    strips = {EXTERNAL: external * _bolt_shear(given), INTERNAL: internal * given.nut_shear_strength}
    # What each thread bears, over what the bolt that it must outlast breaks at.
    against = {EXTERNAL: breaks, INTERNAL: thread.stress_area * _greatest(given)}
    shares = {BOLT: 1.0} | {part: strips[part] / against[part] for part in strips}
    return Outputs(
        external_shear_area=external,
        internal_shear_area=internal,
        external_strip_load=strips[EXTERNAL],
        internal_strip_load=strips[INTERNAL],
        bolt_break_load=breaks,
        minimum_engagement=given.engagement / min(shares[EXTERNAL], shares[INTERNAL]),
        weakest=min(shares, key=lambda part: shares[part]),
    )


def _shear_area(given: Inputs, thread: Thread, cylinder: float, overlap: float) -> float:
    return math.pi * given.engagement / thread.pitch * cylinder * (thread.pitch / 2 + 0.57735 * overlap)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Both shear areas, the three loads, the least engagement."""
    thread = lookup.thread(given.thread)
    sizes = _sizes(given, thread)
    values = {
        "P": (thread.pitch, LENGTH),
        "D_1": (sizes.internal_minor, LENGTH),
        "D_2": (sizes.internal_pitch, LENGTH),
        "d_2": (sizes.external_pitch, LENGTH),
        "d": (sizes.external_major, LENGTH),
        "A_s": (thread.stress_area, AREA),
        "tau_b": (_bolt_shear(given), STRESS),
        "R_g": (_greatest(given), STRESS),
    }
    yield WorkingStep(
        "A_e = pi * L_e / P * D_1 * (P / 2 + 0.57735 * (d_2 - D_1))",
        values,
        phrase("cut at the minor diameter of the tapped hole"),
    )
    yield WorkingStep(
        "A_i = pi * L_e / P * d * (P / 2 + 0.57735 * (d - D_2))",
        values,
        phrase("cut at the major diameter of the bolt"),
    )
    if given.bolt_shear_strength is None:
        yield WorkingStep("tau_b = 0.6 * R_m", values, phrase("common practice, no source"))
    yield WorkingStep("F_e = A_e * tau_b", values)
    yield WorkingStep("F_i = A_i * tau_n", values)
    yield WorkingStep("F_b = A_s * R_m", values)
    if given.bolt_tensile_greatest is None:
        yield WorkingStep(
            "R_g = 1.2 * R_m", values, phrase("the strongest bolt of its class: common practice, no source")
        )
    yield WorkingStep(
        "L_min = L_e * max(F_b / F_e, A_s * R_g / F_i)", values, phrase("the strongest bolt pulls the tapped thread")
    )


_MOST_SHARED = 2.0  # diameters of thread over which the turns share the load; common practice, no source


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """The bolt shall break before either thread strips: a broken bolt is seen, a stripped one is not."""
    check = at_least(
        phrase("Engagement"),
        given.engagement,
        found.minimum_engagement,
        phrase(
            "against the length at which the bolt breaks before a thread strips; now the {weakest} goes first",
            weakest=found.weakest,
        ),
        LENGTH,
    )
    basic = phrase("no thread is cut to basic sizes: choose the class limits, 6H/6g or 2B/2A")
    long = phrase("more than two diameters of thread do not share the load evenly")
    is_long = found.minimum_engagement > _MOST_SHARED * lookup.thread(given.thread).major_diameter
    yield open_where(check, basic if given.tolerance == BASIC else None, long if is_long else None)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where more thread does not help as much as it seems."""
    thread = lookup.thread(given.thread)
    if found.minimum_engagement > _MOST_SHARED * thread.major_diameter:
        yield phrase("More than two diameters of thread do not share the load evenly: use an insert or a larger bolt.")


_ROUND = 36.0  # mm that the bolt is drawn across


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The bolt in the tapped part, cut along it: what is engaged, and what it would take."""
    thread = lookup.thread(given.thread)
    scale = _ROUND / thread.major_diameter
    longest = max(given.engagement, found.minimum_engagement)
    scale_along = min(scale, 95 / longest)
    deep, wanted = given.engagement * scale_along, found.minimum_engagement * scale_along
    half, wide = _ROUND / 2, _ROUND
    engaged, least = show(given.engagement, LENGTH), show(found.minimum_engagement, LENGTH)
    end = max(deep, wanted) + 6
    items: list[Item] = [
        *tapped(0, end, half, half * thread.minor_diameter / thread.major_diameter, wide),
        *threaded(-24, deep, half, half * thread.minor_diameter / thread.major_diameter),
        axis(-30, end + 5),
        along(0, deep, wide, phrase("engaged {engaged}", engaged=engaged), 8),
        along(0, wanted, -wide, least, -9),
        Text((0, -wide - 20), phrase("from there on the bolt gives way, not its thread"), LETTERS),
    ]
    return sheet(
        phrase("Thread in its part"),
        phrase("{engaged} engaged; from {least} on the bolt breaks first.", engaged=engaged, least=least),
        items,
    )


CALCULATION = Calculation(
    title=phrase("Thread engagement"),
    question=phrase("Will the thread hold as long as the bolt?"),
    area=phrase("Fasteners"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={"thread": "M10", "engagement": 15, "bolt_tensile_strength": 800, "nut_shear_strength": 130},
    cautions=(
        phrase("Add about one pitch to the depth for chamfers and the first, incomplete turns."),
        phrase("Soft alloys wear with every refit: use thread inserts where the bolt will be undone."),
        phrase("Castings scatter: take the least strength, or test; a data sheet's test bar is not the casting."),
    ),
    sources=(
        Source(
            phrase("FED-STD-H28/2, Screw-Thread Standards for Federal Services"), "1978", phrase("thread shear areas")
        ),
        Source(
            phrase("ISO 965-2, limits of sizes"), "1998", phrase("6g and 6H, partly in public reproductions"), "read"
        ),
        Source(
            phrase("ASME B1.1, Unified inch threads"),
            "2003",
            phrase("clause 5, tolerances of 2A and 2B"),
            "from memory",
        ),
        Source(
            phrase("J. H. Bickford, Introduction to the Design and Behavior of Bolted Joints"),
            phrase("4th edition"),
            phrase("table of shear areas, in a public reproduction"),
            "read",
        ),
    ),
    limits=(
        phrase("Static load along the bolt, full 60° threads, load shared evenly by the engaged turns."),
        phrase("No factor for the tapped boss spreading or for the bolt's thread bending (VDI 2230 counts both in)."),
    ),
    not_checked=(phrase("Shaking loads, fatigue and heat."), phrase("Thickness of metal around the hole.")),
    revision=4,
)
