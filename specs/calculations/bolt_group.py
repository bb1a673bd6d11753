"""A group of bolts, with or without dowels, under torque and side force; with bolts left out if need be."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from specs.drawings.annotation import Arrow, CentreMark
from specs.drawings.loaded_points import ACROSS, LETTERS, LONGEST, LoadedPoint, loaded_points, scale_of
from specs.drawings.primitives import Drawing, Item, Role, Text
from specs.engine.calculation import (
    Calculation,
    Refused,
    WorkingStep,
    names,
    quantity,
    records,
    result,
    text,
    text_result,
)
from specs.engine.checks import Check, at_most
from specs.engine.sources import Source
from specs.engine.units import (
    AREA,
    FORCE,
    LENGTH,
    RATIO,
    STRESS,
    TORQUE,
    VOLUME,
    show,
)
from specs.geometry.point_group import PointGroup


@dataclass(frozen=True, kw_only=True)
class Bolt:
    """One bolt: where it is, how tight, and its area beside the others'."""

    name: str = text("Name")
    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")
    preload: float = quantity(FORCE, "Preload", above=0)
    area: float = quantity(AREA, "Area", default=1, above=0, help="only its share of all areas counts")


@dataclass(frozen=True, kw_only=True)
class LoadedDowel:
    """One dowel: where it is, how thick, and the shear stress that it bears."""

    name: str = text("Name")
    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")
    diameter: float = quantity(LENGTH, "Diameter", above=0)
    shear_strength: float = quantity(STRESS, "Shear strength", above=0)

    @property
    def area(self) -> float:
        return math.pi / 4 * self.diameter**2


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """x to the right, y up, the loads at the origin; torque counter-clockwise."""

    bolts: tuple[Bolt, ...] = records(Bolt, "Bolts", group="Joint")
    dowels: tuple[LoadedDowel, ...] = records(LoadedDowel, "Dowels", default=(), at_least=0, group="Joint")
    torque: float = quantity(TORQUE, "Torque", symbol="T", default=0, group="Load", help="counter-clockwise is plus")
    force_x: float = quantity(FORCE, "Force to the right", symbol="F_x", default=0, group="Load")
    force_y: float = quantity(FORCE, "Force upwards", symbol="F_y", default=0, group="Load")
    mu: float = quantity(
        RATIO, "Friction between the faces", symbol="mu", default=0.15, above=0, at_most=1, group="Joint"
    )
    omit: tuple[str, ...] = names("Bolts left out", default=(), group="Joint")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Friction carries the loads while it holds; the shear forces are those of a joint without friction."""

    centroid_x: float = result(LENGTH, "Middle of the bolts in use, x", symbol="x_c")
    centroid_y: float = result(LENGTH, "Middle of the bolts in use, y", symbol="y_c")
    friction_torque: float = result(TORQUE, "Torque that friction carries", symbol="M_f")
    slip_margin: float = result(RATIO, "Margin against slip", symbol="s")
    peak_shear: float = result(FORCE, "Greatest shear on a bolt, without friction", symbol="V")
    peak_bolt: str = text_result("Most loaded bolt")
    dowel_shear_stress: float | None = result(STRESS, "Shear stress in a dowel", symbol="tau_d", optional=True)
    capacity_lost: float = result(RATIO, "Friction torque lost with the bolts left out", symbol="l")


def _group(members: Sequence[Bolt | LoadedDowel]) -> PointGroup:
    return PointGroup(tuple((member.x, member.y) for member in members), tuple(member.area for member in members))


# Two places closer than this [m] are one: no bolts stand in each other.
_SAME_PLACE = 1e-6


def _demand_places(input_name: str, members: Sequence[Bolt | LoadedDowel]) -> None:
    pair = _group(members).coinciding(_SAME_PLACE)
    if pair:
        raise Refused(input_name, f"{members[pair[0]].name} and {members[pair[1]].name} stand in one place.")


def _demand_sense(given: Inputs) -> None:
    if not (given.torque or given.force_x or given.force_y):
        raise Refused("torque", "There is no load: give a torque or a force.")
    if len(given.bolts) < 2:
        raise Refused("bolts", "Two bolts or more are needed: one bolt carries no torque.")
    if len(given.dowels) == 1:
        raise Refused("dowels", "One dowel alone carries no torque: give two or more, or none.")
    _demand_places("bolts", given.bolts)
    _demand_places("dowels", given.dowels)
    known = [bolt.name for bolt in given.bolts]
    for name in given.omit:
        if name not in known:
            raise Refused("omit", f"“{name}” is not one of the bolts: {', '.join(known)}.")
    if len(_used(given)) < 2:
        raise Refused("omit", "leaves fewer than two bolts: a joint needs two or more.")


def _used(given: Inputs) -> list[Bolt]:
    return [bolt for bolt in given.bolts if bolt.name not in given.omit]


def solve(given: Inputs) -> Outputs:
    """Friction and shear of a bolted joint about the bolts' middle, SI.

    Middle: area-weighted. Friction torque M_f = Σ μ F r about it, friction force μ Σ F; the loads there are
    M = T − xc·Fy + yc·Fx and |F|; margin 1/(|M|/M_f + |F|/(μ Σ F)) − 1 (straight line between the two: safe side).
    Shear of each bolt, friction neglected, after the elastic method (Shigley §8-12): the force by area, the torque by
    area and radius. Dowels: the torque on them alone about their own middle, the most loaded.
    Raises Refused where there is no load, fewer than two bolts, one dowel, two in a place or an unknown name.
    """
    _demand_sense(given)
    used = _used(given)
    group = _group(used)
    shears = [math.hypot(*shear) for shear in group.forces(given.torque, _force(given))]
    peak = max(shears)
    # Of equals, the first: rounding must not choose.
    peak_bolt = next(bolt for bolt, shear in zip(used, shears, strict=True) if shear >= peak * (1 - 1e-9))
    friction = _friction_torque(given.mu, used)
    return Outputs(
        centroid_x=group.middle[0],
        centroid_y=group.middle[1],
        friction_torque=friction,
        slip_margin=1 / _slip_share(given, friction) - 1,
        peak_shear=peak,
        peak_bolt=peak_bolt.name,
        dowel_shear_stress=max(_dowel_stresses(given)) if given.dowels else None,
        capacity_lost=1 - friction / _friction_torque(given.mu, given.bolts),
    )


def _force(given: Inputs) -> tuple[float, float]:
    return given.force_x, given.force_y


def _friction_torque(mu: float, bolts: Sequence[Bolt]) -> float:
    return mu * sum(bolt.preload * radius for bolt, radius in zip(bolts, _group(bolts).radii, strict=True))


def _slip_share(given: Inputs, friction: float) -> float:
    """The loads over what friction carries: slips at 1."""
    used = _used(given)
    holding = given.mu * sum(bolt.preload for bolt in used)
    moment = _group(used).moment(given.torque, _force(given))
    return abs(moment) / friction + math.hypot(*_force(given)) / holding


def _dowel_stresses(given: Inputs) -> list[float]:
    group = _group(given.dowels)
    return [abs(given.torque) * radius / (group.weight * group.mean_square_radius) for radius in group.radii]


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Middle, friction, loads, margin, most loaded bolt, dowels, loss."""
    used = _used(given)
    group = _group(used)
    yield from _middle(group)
    friction = {"Sigma_Fr": (found.friction_torque / given.mu, TORQUE)}
    yield WorkingStep(
        "M_f = mu * Sigma_Fr", friction, "each bolt's preload times its distance from the middle, added up"
    )
    at = [bolt.name for bolt in used].index(found.peak_bolt)
    values = {
        "M": (group.moment(given.torque, _force(given)), TORQUE),
        "F": (math.hypot(*_force(given)), FORCE),
        "Sigma_F": (sum(bolt.preload for bolt in used), FORCE),
        "a": (used[at].area / group.weight, RATIO),
        "x": (group.offsets[at][0], LENGTH),
        "y": (group.offsets[at][1], LENGTH),
        "i_2": (group.mean_square_radius, AREA),
        "M_all": (_friction_torque(given.mu, given.bolts), TORQUE),
    }
    yield WorkingStep("M = T - x_c * F_y + y_c * F_x", values, "the loads, moved to the middle")
    yield WorkingStep("F = hypot(F_x, F_y)", values)
    yield WorkingStep("s = 1 / (abs(M) / M_f + F / (mu * Sigma_F)) - 1", values)
    yield WorkingStep(
        "V = a * hypot(F_x - M * y / i_2, F_y + M * x / i_2)",
        values,
        f"bolt {found.peak_bolt} at x and y from the middle; i_2: mean square of all distances; a: its share of area",
    )
    yield from _dowel_working(given)
    yield WorkingStep("l = 1 - M_f / M_all", values, "against the friction torque of all bolts")


def _middle(group: PointGroup) -> Iterator[WorkingStep]:
    for axis, at in zip("xy", group.middle, strict=True):
        sums = {f"Sigma_A{axis}": (at * group.weight, VOLUME), "Sigma_A": (group.weight, AREA)}
        yield WorkingStep(f"{axis}_c = Sigma_A{axis} / Sigma_A", sums, "middle of the bolts in use, by area")


def _dowel_working(given: Inputs) -> Iterator[WorkingStep]:
    if given.dowels:
        group = _group(given.dowels)
        values = {
            "r_d": (max(group.radii), LENGTH),
            "A_d": (group.weight, AREA),
            "j_2": (group.mean_square_radius, AREA),
        }
        yield WorkingStep(
            "tau_d = abs(T) * r_d / (A_d * j_2)", values, "the torque on the dowels alone; j_2 as i_2, for the dowels"
        )


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Friction against the loads; the dowel that comes nearest to its strength."""
    share = _slip_share(given, found.friction_torque)
    yield at_most("Slip", share, 1.0, "the loads over what friction between the faces carries")
    if given.dowels:
        pairs = zip(given.dowels, _dowel_stresses(given), strict=True)
        dowel, stress = max(pairs, key=lambda pair: pair[1] / pair[0].shear_strength)
        yield at_most(
            "Dowel shear",
            stress,
            dowel.shear_strength,
            f"dowel {dowel.name} with all of the torque, against its strength",
        )


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what the loads and the bolts left out call for."""
    if found.slip_margin < 0:
        yield "The faces slip before the load is reached: bolts and dowels then carry it in shear, and work loose."
    if given.omit:
        yield f"Left out: {', '.join(given.omit)}. The maker put every bolt there for a reason; sealing counts too."
    if given.dowels and (given.force_x or given.force_y):
        yield "The dowel stress counts the torque alone; the side force is left to friction."


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The bolts with the shear force on each, the middle, the dowels, the bolts left out, and the loads."""
    members = list(_members_drawn(given))
    scale = scale_of([member.at for member in members])
    items: list[Item] = [
        *loaded_points(members, scale),
        CentreMark((found.centroid_x * scale, found.centroid_y * scale), 5),
        Text((found.centroid_x * scale + 6, found.centroid_y * scale + 1), "middle", LETTERS),
        *_loads_drawn(given),
    ]
    return Drawing(
        "Bolt group",
        f"{len(_used(given))} bolts in use, each with the shear force that it would carry without friction. Bolt "
        f"{found.peak_bolt} carries most, {show(found.peak_shear, FORCE)}.",
        items,
    )


def _members_drawn(given: Inputs) -> Iterator[LoadedPoint]:
    used = _used(given)
    for bolt, force in zip(used, _group(used).forces(given.torque, _force(given)), strict=True):
        yield LoadedPoint((bolt.x, bolt.y), f"{bolt.name} {show(math.hypot(*force), FORCE, figures=3)}", force)
    for bolt in given.bolts:
        if bolt.name in given.omit:
            yield LoadedPoint((bolt.x, bolt.y), f"{bolt.name} left out", look="absent")
    for dowel in given.dowels:
        yield LoadedPoint((dowel.x, dowel.y), f"dowel {dowel.name}", look="dowel")


def _loads_drawn(given: Inputs) -> Iterator[Item]:
    if given.torque:
        turned = "counter-clockwise" if given.torque > 0 else "clockwise"
        below = -ACROSS / 2 - LONGEST - 6
        yield Text((0, below), f"torque {show(abs(given.torque), TORQUE)} {turned}", LETTERS, "middle")
    force = math.hypot(*_force(given))
    if force:
        tip = (given.force_x / force * LONGEST, given.force_y / force * LONGEST)
        yield Arrow((0, 0), tip, f"force {show(force, FORCE)}", Role.LIMIT)


CALCULATION = Calculation(
    title="Bolt group",
    question="Will this joint slip, and is one bolt less all right?",
    area="Fasteners",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
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
        "omit": ["B4"],
    },
    cautions=(
        "Preload decides, and scatters by ±25 to 30 %: take the least that the tightening surely gives.",
        "Oil, paint or a gasket between the faces lowers the friction to a half or less.",
        "A bolt left out also unloads its neighbours' sealing and bends the flange between them.",
    ),
    sources=(
        Source(
            "Budynas and Nisbett, Shigley's Mechanical Engineering Design",
            "9th edition",
            "§8-12 and example 8-7, in a public copy",
            "read",
        ),
        Source("VDI 2230 part 1", "2003", "friction grip joints", "from memory"),
    ),
    limits=(
        "Flat, stiff parts; loads in the plane of the faces; all bolts tightened.",
        "Friction between the faces is one figure all over, pressed where the bolts are.",
    ),
    not_checked=(
        "Prying, bending of the flange, loads along the bolts, and shaking loads.",
        "Bearing of dowels in soft holes.",
    ),
)
