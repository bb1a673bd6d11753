"""A group of bolts, with or without dowels, under torque, side force and overhang; with bolts left out if need be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from specs.drawings.primitives import Drawing
from specs.engine.calculation import (
    Calculation,
    Refused,
    WorkingStep,
    answer_or_none,
    names,
    quantity,
    records,
    result,
    text_result,
)
from specs.engine.checks import Check, at_most, open_where
from specs.engine.units import FORCE, LENGTH, MASS, RATIO, STRESS, TORQUE
from specs.joints import working as lines
from specs.joints.bolted import (
    ASSUMED_FRICTION,
    GRAVITY,
    Bolt,
    Joint,
    LoadedDowel,
    demand_height,
    demand_members,
    dowel_checks,
    slip_check,
)
from specs.joints.group_picture import group_picture
from specs.joints.many_joints import ManyJoints, peak_shears
from specs.phrase import phrase
from specs.standards.publications import Source

_load = partial(quantity, group="Load")
_overhang = partial(quantity, group="Overhang")


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """x to the right, y up, the loads at the origin; torque counter-clockwise."""

    bolts: tuple[Bolt, ...] = records(Bolt, phrase("Bolts"), group="Joint")
    dowels: tuple[LoadedDowel, ...] = records(LoadedDowel, phrase("Dowels"), default=(), at_least=0, group="Joint")
    torque: float = _load(TORQUE, phrase("Torque"), symbol="T", default=0, help=phrase("counter-clockwise is plus"))
    force_x: float = _load(FORCE, phrase("Force to the right"), symbol="F_x", default=0)
    force_y: float = _load(FORCE, phrase("Force upwards"), symbol="F_y", default=0)
    mu: float | None = quantity(
        RATIO,
        phrase("Friction between the faces"),
        symbol="mu",
        above=0,
        at_most=1,
        optional=True,
        group="Joint",
        help=phrase("the least: 0.15 dry and clean, half with oil or paint (common practice, no source)"),
    )
    omit: tuple[str, ...] = names(phrase("Bolts left out"), default=(), group="Joint")
    overhang_mass: float | None = _overhang(
        MASS, phrase("Mass that hangs on the joint"), symbol="m", above=0, optional=True, help=phrase("a gearbox")
    )
    overhang: float | None = _overhang(
        LENGTH, phrase("Its centre of mass behind the joint"), symbol="a", above=0, optional=True
    )
    load_factor: float = _overhang(
        RATIO,
        phrase("Load factor"),
        symbol="n",
        default=3,
        at_least=1,
        help=phrase("3 g over bumps is a convention; the rear mount is not counted on"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Friction carries the loads while it holds; the shear forces are those of a joint without friction."""

    centroid_x: float = result(LENGTH, phrase("Middle of the bolts in use, x"), symbol="x_c")
    centroid_y: float = result(LENGTH, phrase("Middle of the bolts in use, y"), symbol="y_c")
    friction_torque: float = result(TORQUE, phrase("Torque that friction carries"), symbol="M_f")
    slip_margin: float = result(RATIO, phrase("Margin against slip"), symbol="s")
    peak_shear: float = result(FORCE, phrase("Greatest shear on a bolt, without friction"), symbol="V")
    peak_bolt: str = text_result(phrase("Most loaded bolt"))
    dowel_shear_stress: float | None = result(STRESS, phrase("Shear stress in a dowel"), symbol="tau_d", optional=True)
    capacity_lost: float = result(RATIO, phrase("Friction torque lost with the bolts left out"), symbol="l")
    opening_share: float | None = result(
        RATIO, phrase("Greatest share of clamp that overhang takes"), symbol="o", optional=True
    )
    opening_bolt: str | None = text_result(phrase("Bolt that opens first"), optional=True)
    dowel_bearing: float | None = result(STRESS, phrase("Pressure of a dowel on its hole"), symbol="p_d", optional=True)


def joint_of(given: Inputs) -> Joint:
    """The joint of the bolts that are not left out."""
    return Joint(
        bolts=tuple(bolt for bolt in given.bolts if bolt.name not in given.omit),
        dowels=given.dowels,
        mu=given.mu or ASSUMED_FRICTION,
        torque=given.torque,
        force=(given.force_x, given.force_y),
        weight=given.load_factor * (given.overhang_mass or 0.0) * GRAVITY,
        overhang=given.overhang or 0.0,
    )


def _demand_load(given: Inputs) -> None:
    if (given.overhang is None) != (given.overhang_mass is None):
        lacking = "overhang" if given.overhang is None else "overhang_mass"
        raise Refused(lacking, phrase("Mass and place of its centre belong together: give both, or neither."))
    if not (given.torque or given.force_x or given.force_y or given.overhang_mass):
        raise Refused("torque", phrase("There is no load: give a torque, a force or a mass that hangs on the joint."))


def solve(given: Inputs) -> Outputs:
    """Friction, clamp and shear of a bolted joint, SI.

    Slip: λ, the least over all centres c of turning, infinity included, of Σ μF|r − c| / |T − c_x F_y + c_y F_x|;
    margin λ − 1. Friction torque: the same least for a torque alone. Overhang: M = n m g a takes A M y/Σ A y² of clamp
    from each bolt, y from the bolts' middle, gains not counted; n m g joins F_y, up or down, whichever slips sooner;
    slip uses the clamp that is left. Shear of each bolt, friction neglected: elastic method (Shigley §8-12). Dowels:
    the torque on them alone about their own middle, the most loaded; bearing F/(d·l).
    Raises Refused where there is no load, fewer than two bolts, one dowel, two in a place, an unknown name or thread.
    """
    joint = _demanded(given)
    whole = joint.with_bolts(given.bolts).friction_torque if given.omit else joint.friction_torque
    return _outputs(given, joint, joint.friction_torque, whole, joint.slip.factor)


def solve_all(givens: Sequence[Inputs]) -> list[Outputs | None]:
    """The same for many readings of one joint at once; singly where something hangs on it, or two bolts come near."""
    many = ManyJoints([joint_of(given) for given in givens])
    try:
        _demanded(givens[0])
        is_plain = many.are_plain
    except Refused:
        is_plain = False
    return list(_solved_together(givens, many)) if is_plain else [answer_or_none(solve, given) for given in givens]


def _solved_together(givens: Sequence[Inputs], many: ManyJoints) -> Iterator[Outputs]:
    whole = many.friction_torques
    if givens[0].omit:
        pairs = zip(many.joints, givens, strict=True)
        whole = ManyJoints([joint.with_bolts(given.bolts) for joint, given in pairs]).friction_torques
    dowels = many.dowel_stresses.max(axis=1).tolist() if givens[0].dowels else [None] * len(givens)
    frictions = many.friction_torques, whole, many.slip_factors
    sheared = many.peaks, peak_shears(many), dowels, many.bearings
    rows = zip(many.joints, many.bolts.middles.tolist(), *frictions, *sheared, strict=True)
    for joint, (x, y), friction, most, slip, peak, shear, stress, bearing in rows:
        yield Outputs(
            centroid_x=x,
            centroid_y=y,
            friction_torque=friction,
            slip_margin=slip - 1,
            peak_shear=shear,
            peak_bolt=joint.bolts[peak].name,
            dowel_shear_stress=stress,
            capacity_lost=1 - friction / most,
            dowel_bearing=bearing,
        )


def _demanded(given: Inputs) -> Joint:
    _demand_load(given)
    demand_members(given.bolts, given.dowels, given.omit)
    joint = joint_of(given)
    demand_height(joint)
    return joint


def _outputs(given: Inputs, joint: Joint, friction_torque: float, whole: float, slip: float) -> Outputs:
    hangs, peak = given.overhang_mass is not None, _peak(joint)
    return Outputs(
        centroid_x=joint.group.middle[0],
        centroid_y=joint.group.middle[1],
        friction_torque=friction_torque,
        slip_margin=slip - 1,
        peak_shear=math.hypot(*joint.shears[peak]),
        peak_bolt=joint.bolts[peak].name,
        dowel_shear_stress=max(joint.dowel_stresses, default=None),
        capacity_lost=1 - friction_torque / whole,
        opening_share=joint.opening[0] if hangs else None,
        opening_bolt=joint.bolts[joint.opening[1]].name if hangs else None,
        dowel_bearing=max((pressure for _, pressure in joint.bearings), default=None),
    )


def _peak(joint: Joint) -> int:
    """The most loaded bolt by its place. Of equals, the first: rounding must not choose."""
    shears = [math.hypot(*shear) for shear in joint.shears]
    return next(at for at, shear in enumerate(shears) if shear >= max(shears) * (1 - 1e-9))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Middle, friction, overhang, slip, most loaded bolt, dowels, loss."""
    joint = joint_of(given)
    yield from lines.middle(joint)
    friction = {"Sigma_Fr": (found.friction_torque / joint.mu, TORQUE), "mu": (joint.mu, RATIO)}
    yield WorkingStep(
        "M_f = mu * Sigma_Fr", friction, phrase("preloads times distances from where the sum is least, added up")
    )
    yield from lines.overhang(joint)
    yield from lines.slip(joint)
    yield from lines.shear(joint, _peak(joint))
    yield from lines.dowels(joint)
    every = {"M_all": (joint.with_bolts(given.bolts).friction_torque, TORQUE)}
    yield WorkingStep("l = 1 - M_f / M_all", every, phrase("against the friction torque of all bolts"))


_CLOSED = 1 - 1e-8


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Friction against the loads, clamp against overhang, dowels against shear and their holes."""
    # 3 is the convention; under half of it the load is that of a smooth road. No source.
    smooth = (
        phrase("a load factor under 1.5 leaves out bumps") if given.overhang_mass and given.load_factor < 1.5 else None
    )
    yield open_where(slip_check(found.slip_margin + 1, given.mu), smooth)
    if found.opening_share is not None:
        words = phrase(
            "clamp that the overhang takes from bolt {opening_bolt}, over its preload", opening_bolt=found.opening_bolt
        )
        # A bolt that is just relieved holds nothing together: 1 itself fails, as far as rounding can tell.
        yield open_where(at_most(phrase("Joint stays closed"), found.opening_share, _CLOSED, words), smooth)
    if given.dowels:
        yield from dowel_checks(joint_of(given))


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what the loads and the bolts left out call for."""
    if given.mu is None:
        yield phrase("Friction between the faces was not given: these figures take 0.15 for it, and no slip is judged.")
    if found.opening_share is not None and found.opening_share >= 1:
        yield phrase(
            "The joint opens at bolt {opening_bolt} over bumps: it loses its clamp, works loose and breaks.",
            opening_bolt=found.opening_bolt,
        )
    if found.slip_margin < 0:
        yield phrase(
            "The faces slip before the load is reached: bolts and dowels then carry it in shear, and work loose."
        )
    if given.omit:
        yield phrase(
            "Left out: {omit}. The maker put every bolt there for a reason; sealing counts too.",
            omit=", ".join(given.omit),
        )
    if given.dowels and (given.force_x or given.force_y or given.overhang_mass):
        yield phrase("The dowel stress counts the torque alone; the side force is left to friction.")


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The bolts with the shear force on each, the middle, the dowels, the bolts left out, and the loads."""
    middle, left_out = (found.centroid_x, found.centroid_y), [bolt for bolt in given.bolts if bolt.name in given.omit]
    return group_picture(
        joint_of(given),
        left_out,
        middle,
        phrase("Bolt {peak_bolt} carries most", peak_bolt=found.peak_bolt),
        found.peak_shear,
    )


CALCULATION = Calculation(
    title=phrase("Bolt group"),
    question=phrase("Will this joint slip, and can I leave one bolt out?"),
    area=phrase("Fasteners"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    solve_all=solve_all,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "bolts": [
            {"name": "B1", "x": -120, "y": 150, "preload": 30000},
            {"name": "B2", "x": 130, "y": 145, "preload": 30000},
            {"name": "B3", "x": 170, "y": -20, "preload": 30000},
            {"name": "B4", "x": 95, "y": -160, "preload": 30000},
            {"name": "B5", "x": -150, "y": -90, "preload": 30000},
        ],
        "dowels": [
            {"name": "D1", "x": -165, "y": 40, "diameter": 12, "shear_strength": 400},
            {"name": "D2", "x": 165, "y": 55, "diameter": 12, "shear_strength": 400},
        ],
        "torque": 450,
        "mu": 0.15,
        "omit": ["B4"],
    },
    cautions=(
        phrase("Preload decides, and scatters by ±25 to 30 %: take the least that the tightening surely gives."),
        phrase("Oil, paint or a gasket between the faces lowers the friction to a half or less."),
        phrase("A bolt left out also unloads its neighbours' sealing and bends the flange between them."),
    ),
    sources=(
        Source(
            phrase("Budynas and Nisbett, Shigley's Mechanical Engineering Design"),
            phrase("9th edition"),
            phrase("§8-12 and example 8-7, in a public copy"),
            "read",
        ),
        Source(
            phrase("Limit analysis, upper-bound theorem"),
            "general",
            phrase("least over all centres of turning"),
            "from memory",
        ),
        Source(phrase("VDI 2230 part 1"), "2003", phrase("friction grip joints"), "from memory"),
    ),
    limits=(
        phrase(
            "Flat, stiff parts; loads in the plane of the faces, and the tipping of an overhang; all bolts tightened."
        ),
        phrase("Friction between the faces is one figure all over, pressed where the bolts are."),
    ),
    not_checked=(
        phrase("Oil or paint between the faces, which halves the friction; a bolt that was not tightened as told."),
        phrase("Prying, bending of the flange, shaking loads, and side force on the dowels."),
    ),
    revision=4,
)
