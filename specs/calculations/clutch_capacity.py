"""The torque that a dry friction clutch can carry before it slips, from its faces, friction and clamp force."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from specs.drawings.annotation import Arrow, CentreMark, DimensionLine
from specs.drawings.clutch_cut import ClutchCut, clutch_cut
from specs.drawings.primitives import Circle, Drawing, Item, Role, Stroke, Text, Tone
from specs.drawings.sections import sheet
from specs.engine.calculation import Calculation, Refused, WorkingStep, choice, quantity, result, whole
from specs.engine.checks import Check, at_least, at_most, not_known, open_where
from specs.engine.units import FORCE, LENGTH, RATIO, STRESS, TORQUE, show
from specs.phrase import phrase
from specs.standards.publications import Source

WEAR, PRESSURE = "wear", "pressure"


_faces = partial(quantity, above=0, group="Faces")
_load = partial(quantity, above=0, group="Load")
_worn_and_hot = partial(quantity, above=0, group="Worn and hot", optional=True)
_limits = partial(quantity, group="Limits")


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """One disc has two faces; both diameters are those of the lining where it touches."""

    faces: int = whole(phrase("Friction faces"), symbol="N", default=2, group="Faces", help=phrase("one disc has 2"))
    outside_diameter: float = _faces(LENGTH, phrase("Lining outside diameter"), symbol="D")
    inside_diameter: float = _faces(LENGTH, phrase("Lining inside diameter"), symbol="d")
    mu: float = _faces(
        RATIO,
        phrase("Friction coefficient of the lining"),
        symbol="mu",
        at_most=1,
        help=phrase("the lining maker's figure for a warm face; organic linings are often given as 0.25 to 0.35"),
    )
    clamp_force: float = _load(
        FORCE, phrase("Clamp force"), symbol="F", help=phrase("of the pressure plate on this disc, engaged")
    )
    model: str = choice(
        phrase("How the face bears"),
        (WEAR, PRESSURE),
        default=WEAR,
        group="Load",
        help=phrase("wear: run in, the usual and lower figure; pressure: new and rigid, evenly loaded"),
    )
    engine_torque: float = _load(TORQUE, phrase("Greatest engine torque"), symbol="T_e")
    clamp_force_worn: float | None = _worn_and_hot(
        FORCE,
        phrase("Clamp force, worn disc"),
        symbol="F_w",
        help=phrase("the cover maker's figure at the wear limit: a diaphragm's force changes as the disc wears"),
    )
    mu_hot: float | None = _worn_and_hot(
        RATIO,
        phrase("Friction coefficient, hot"),
        symbol="mu_h",
        at_most=1,
        help=phrase("the lining maker's least figure over its working temperatures"),
    )
    minimum_service_factor: float = _limits(
        RATIO,
        phrase("Least service factor wanted"),
        symbol="S_min",
        default=1.2,
        at_least=1,
        help=phrase("common practice: friction is seldom known closer than ±10 %, and torque peaks come on top"),
    )
    maximum_pressure: float | None = _limits(
        STRESS, phrase("Greatest pressure the lining bears"), symbol="p_lim", above=0, optional=True
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The pressure is that of the most loaded place: the inner edge when run in, everywhere when new."""

    mean_radius: float = result(LENGTH, phrase("Mean friction radius"), symbol="r_m")
    capacity: float = result(TORQUE, phrase("Torque before it slips"), symbol="T")
    peak_pressure: float = result(STRESS, phrase("Greatest pressure on the lining"), symbol="p_max")
    service_factor: float = result(RATIO, phrase("Service factor"), symbol="S")
    capacity_worn: float | None = result(
        TORQUE, phrase("Torque before it slips, worn disc"), symbol="T_w", optional=True
    )
    capacity_hot: float | None = result(TORQUE, phrase("Torque before it slips, hot"), symbol="T_h", optional=True)


def solve(given: Inputs) -> Outputs:
    """Integrate friction over the ring-shaped faces: T = N·μ·F·r_m (Shigley, clutches with axial contact).

    Uniform wear: p·r is constant, r_m = (D + d)/4 and p_max = 2F/(π d (D − d)) at the inner edge. Uniform pressure:
    r_m = (D³ − d³)/(3(D² − d²)) and p = 4F/(π(D² − d²)). A worn disc, and one that was hot, has run in: uniform wear.
    Hot is taken with the least clamp force given. Lengths [m], force [N], pressure [Pa], torque [N·m].
    Raises Refused where the inside diameter is not less than the outside.
    """
    big, small = given.outside_diameter, given.inside_diameter
    if small >= big:
        raise Refused("inside_diameter", phrase("must be less than the outside diameter."))
    # (D³ − d³)/(D² − d²) with the common factor D − d taken out: exact for narrow faces as well.
    new_radius = (big**2 + big * small + small**2) / (3 * (big + small))
    mean_radius = _run_in_radius(given) if given.model == WEAR else new_radius
    capacity = given.faces * given.mu * given.clamp_force * mean_radius
    run_in = given.faces * _run_in_radius(given)
    return Outputs(
        mean_radius=mean_radius,
        capacity=capacity,
        peak_pressure=_pressure_of(given, given.clamp_force),
        service_factor=capacity / given.engine_torque,
        capacity_worn=None if given.clamp_force_worn is None else run_in * given.mu * given.clamp_force_worn,
        capacity_hot=None if given.mu_hot is None else run_in * given.mu_hot * _least_force(given),
    )


def _run_in_radius(given: Inputs) -> float:
    return (given.outside_diameter + given.inside_diameter) / 4


def _least_force(given: Inputs) -> float:
    return min(given.clamp_force, given.clamp_force_worn or given.clamp_force)


def _pressure_of(given: Inputs, force: float) -> float:
    """The greatest pressure on the lining under a clamp force, by the chosen model."""
    big, small = given.outside_diameter, given.inside_diameter
    if given.model == WEAR:
        return 2 * force / (math.pi * small * (big - small))
    return 4 * force / (math.pi * (big**2 - small**2))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Radius, torque, pressure and factor, by the chosen model; then worn and hot, as run in."""
    if given.model == WEAR:
        yield WorkingStep("r_m = (D + d) / 4", note=phrase("run in: pressure falls with the radius, wear is even"))
    else:
        yield WorkingStep("r_m = (D**3 - d**3) / (3 * (D**2 - d**2))", note=phrase("new and rigid: pressure is even"))
    yield WorkingStep("T = N * mu * F * r_m")
    if given.model == WEAR:
        yield WorkingStep("p_max = 2 * F / (pi * d * (D - d))", note=phrase("at the inner edge"))
    else:
        yield WorkingStep("p_max = 4 * F / (pi * (D**2 - d**2))", note=phrase("all over the face"))
    yield WorkingStep("S = T / T_e")
    if found.capacity_worn is not None:
        yield WorkingStep("T_w = N * mu * F_w * (D + d) / 4", note=phrase("worn disc, run in"))
    if found.capacity_hot is not None:
        force = {"F_l": (_least_force(given), FORCE)}
        yield WorkingStep("T_h = N * mu_h * F_l * (D + d) / 4", force, phrase("hot, with the least clamp force given"))


# Shigley, table 16-3 (from memory): moulded pads without asbestos, and the pressure that sintered metal bears.
_MOST_FRICTION, _MOST_PRESSURE = 0.63, 2.76e6
# A diaphragm presses a little harder half worn than new, never by this much at the limit; common practice, no source.
_HARDEST_WORN = 1.2


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Every check; none holds at more friction than a lining is known to have."""
    is_rough = max(given.mu, given.mu_hot or 0.0) > _MOST_FRICTION
    for check in _checks(given, found):
        yield open_where(
            check, phrase("no table gives a lining that much friction: it needs a test") if is_rough else None
        )


def _checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Answer first whether it holds the engine; then with reserve, worn and hot; then the lining's pressure."""
    torque = given.engine_torque
    yield at_least(
        phrase("New and cold"), found.capacity, torque, phrase("torque before it slips, against the engine's"), TORQUE
    )
    yield at_least(
        phrase("Service factor"),
        found.service_factor,
        given.minimum_service_factor,
        phrase("capacity over the engine's torque, against the least wanted"),
    )
    harder = given.clamp_force_worn is not None and given.clamp_force_worn > _HARDEST_WORN * given.clamp_force
    if found.capacity_worn is None:
        yield not_known(phrase("Worn disc"), phrase("the clamp force of the worn disc is not given"))
    else:
        words = phrase("torque before it slips at the wear limit, against the engine's")
        check = at_least(phrase("Worn disc"), found.capacity_worn, torque, words, TORQUE)
        yield open_where(check, phrase("no cover presses so much harder on a worn disc") if harder else None)
    if found.capacity_hot is None:
        yield not_known(phrase("Hot"), phrase("the friction coefficient of the hot lining is not given"))
    else:
        words = phrase("torque before it slips when hot, with the least clamp force given, against the engine's")
        check = at_least(phrase("Hot"), found.capacity_hot, torque, words, TORQUE)
        better = (given.mu_hot or 0.0) > given.mu
        yield open_where(check, phrase("a lining that grips better hot than cold needs a test") if better else None)
    pressure = _pressure_of(given, max(given.clamp_force, given.clamp_force_worn or 0.0))
    if given.maximum_pressure is not None:
        words = phrase("greatest pressure on the lining, against what it bears")
        yield at_most(phrase("Lining pressure"), pressure, given.maximum_pressure, words, STRESS)
    elif pressure > _MOST_PRESSURE:
        yield not_known(
            phrase("Lining pressure"),
            phrase("{show} is more than any table gives a lining", show=show(pressure, STRESS)),
        )


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the engine overcomes the clutch."""
    if found.service_factor < 1:
        yield phrase("The engine's torque is above what the clutch carries: it will slip, heat and glaze.")


# The picture is 100 mm across the disc, whatever the disc's size; words then keep their size.
_DISC = 84.0
_LETTERS = 4.2


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The face seen along the shaft, and beside it, at the same height, the clutch cut, with the force on the disc."""
    scale = _DISC / given.outside_diameter
    outside, inside = (show(x, LENGTH, figures=6) for x in (given.outside_diameter, given.inside_diameter))
    outer, inner, mean = _DISC / 2, given.inside_diameter / 2 * scale, found.mean_radius * scale
    items: list[Item] = [
        Circle((0, 0), outer, Tone.METAL),
        Circle((0, 0), inner, Tone.PLAIN),
        Circle((0, 0), mean, role=Role.CENTRE, stroke=Stroke.CHAIN),
        CentreMark((0, 0), outer + 4),
        Arrow((0, 0), (-mean * math.cos(math.pi / 5), mean * math.sin(math.pi / 5))),
        Text(
            (-outer - 24, -outer - 9),
            phrase("mean friction radius R{show}", show=show(found.mean_radius, LENGTH)),
            _LETTERS,
        ),
        DimensionLine((0, outer), (0, -outer), f"⌀{outside}", -outer - 20, height=_LETTERS),
        DimensionLine((0, inner), (0, -inner), f"⌀{inside}", -outer - 9, height=_LETTERS),
        *clutch_cut(ClutchCut(inner, outer, show(given.clamp_force, FORCE), given.faces), outer + 9),
        *_pressed(given, found),
    ]
    return sheet(
        phrase("Clutch face"),
        phrase(
            "The lining, {outside} outside and {inside} inside. Friction acts at a mean radius of "
            "{show}. The pressure is greatest, {show_2}, "
            "{value}.",
            outside=outside,
            inside=inside,
            show=show(found.mean_radius, LENGTH),
            show_2=show(found.peak_pressure, STRESS),
            value=phrase("at the inner edge") if given.model == WEAR else phrase("all over the face"),
        ),
        items,
    )


def _pressed(given: Inputs, found: Outputs) -> Iterator[Text]:
    edges = [phrase("lining pressure {show}", show=show(found.peak_pressure, STRESS))]
    if given.model == WEAR:
        outside = found.peak_pressure * given.inside_diameter / given.outside_diameter
        edges = [
            phrase("{edges} inside, falling", edges=edges[0]),
            phrase("to {show} at the outer edge", show=show(outside, STRESS)),
        ]
    for row, words in enumerate(edges):
        yield Text((-_DISC / 2 - 24, -_DISC / 2 - 16 - 6.5 * row), words, _LETTERS)


CALCULATION = Calculation(
    title=phrase("Clutch capacity"),
    question=phrase("Will this clutch hold this engine?"),
    area=phrase("Clutch and its release"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "outside_diameter": 240,
        "inside_diameter": 155,
        "mu": 0.28,
        "clamp_force": 9800,
        "engine_torque": 350,
        "clamp_force_worn": 9300,
        "mu_hot": 0.26,
        "maximum_pressure": 0.6,
    },
    cautions=(
        phrase("The clamp force of a diaphragm changes as the disc wears: that of a new one is not its least."),
        phrase("Slots, grooves and rivets take lining away: the true pressure is higher by the share they take."),
        phrase("Old linings may hold asbestos: do not blow, brush or sand the dust; follow the local rules for it."),
    ),
    sources=(
        Source(
            phrase("Budynas and Nisbett, Shigley's Mechanical Engineering Design"),
            phrase("8th edition"),
            phrase("§16-5, frictional-contact axial clutches"),
            "from memory",
        ),
        Source(
            phrase("V. B. Bhandari, Design of Machine Elements"),
            "",
            phrase("examples 11.1, 11.2 and 11.6, as solved"),
            "read",
        ),
        Source(phrase("Service factor 1.2"), phrase("common practice, no source")),
    ),
    limits=(
        phrase("Flat, ring-shaped, dry faces pressed evenly; all faces carry the same clamp force."),
        phrase("One friction coefficient: oil, heat and glazing lower it, and it is seldom known closer than ±10 %."),
    ),
    revision=5,
    not_checked=(
        phrase("Heat of repeated starts, and how the torsion springs, rivets and spline of the disc bear the torque."),
        phrase("Torque peaks above the engine's greatest torque, from a dropped clutch or a caught gear."),
    ),
)
