"""What the rear mount of an engine and gearbox has to bear: their weight and the torque's twist."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings import bodies
from specs.drawings.annotation import Arrow, CentreMark
from specs.drawings.primitives import Circle, Drawing, Item, Line, Polyline, Role, Text, Tone
from specs.drawings.sections import box, sheet
from specs.engine.calculation import Calculation, WorkingStep, quantity, result
from specs.engine.checks import Check, at_most, not_known, open_where
from specs.engine.units import (
    FORCE,
    LENGTH,
    MASS,
    RATIO,
    TORQUE,
    show,
)
from specs.phrase import phrase
from specs.standards.publications import Source

GRAVITY = 9.80665  # m/s², standard


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Positions are measured back from the line through the engine mounts; forward of it they are negative."""

    gearbox_mass: float = quantity(MASS, phrase("Gearbox mass, filled"), symbol="m_g", above=0, group="Weight")
    mass_position: float = quantity(
        LENGTH,
        phrase("Its centre of mass, behind the engine mounts"),
        symbol="x_g",
        group="Weight",
        help=phrase("found by balancing it"),
    )
    engine_mass: float = quantity(MASS, phrase("Engine mass, filled"), symbol="m_e", at_least=0, group="Weight")
    engine_position: float = quantity(
        LENGTH,
        phrase("Its centre of mass, behind the engine mounts"),
        symbol="x_e",
        group="Weight",
        help=phrase("negative where it is ahead of them"),
    )
    mount_position: float = quantity(
        LENGTH, phrase("Rear mount, behind the engine mounts"), symbol="x_m", above=0, group="Mounts"
    )
    mount_spacing: float = quantity(
        LENGTH, phrase("Distance between left and right mount"), symbol="b", above=0, group="Mounts"
    )
    output_torque: float = quantity(
        TORQUE,
        phrase("Torque at the gearbox output"),
        symbol="T",
        at_least=0,
        group="Load",
        help=phrase("engine torque × lowest gear"),
    )
    shock_factor: float = quantity(
        RATIO,
        phrase("Shock factor"),
        symbol="k",
        default=2,
        at_least=1,
        group="Load",
        help=phrase("2 is common practice"),
    )
    mount_rating: float | None = quantity(
        FORCE,
        phrase("Load that one side of the mount bears"),
        symbol="F_lim",
        above=0,
        optional=True,
        group="Limits",
        help=phrase("the maker's figure for press and pull, whichever is less"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The couple presses one side down and lifts the other; the peak is that of the side that bears more."""

    static_load: float = result(FORCE, phrase("Weight on the rear mount"), symbol="F_s")
    torque_couple: float = result(FORCE, phrase("Up and down by torque, each side"), symbol="F_t")
    peak_load: float = result(FORCE, phrase("Greatest load on one side"), symbol="F_p")


def solve(given: Inputs) -> Outputs:
    """Moments about the line of the engine mounts, and the torque's couple across (statics, forces [N]).

    F_s = g(m_g x_g + m_e x_e)/x_m; F_t = T/b; F_p = k·max(|F_s/2 + F_t|, |F_s/2 − F_t|): where the engine
    outweighs the gearbox, the side that is pulled bears more. Masses [kg], lengths [m], torque [N·m].
    """
    moment = given.gearbox_mass * given.mass_position + given.engine_mass * given.engine_position
    static = GRAVITY * moment / given.mount_position
    couple = given.output_torque / given.mount_spacing
    return Outputs(static_load=static, torque_couple=couple, peak_load=_greater(static, couple) * given.shock_factor)


def _greater(static: float, couple: float) -> float:
    return max(abs(static / 2 + couple), abs(static / 2 - couple))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Weight, couple, peak."""
    yield WorkingStep(
        f"F_s = {GRAVITY} * (m_g * x_g + m_e * x_e) / x_m", note=phrase("moments about the engine mounts, g in m/s²")
    )
    yield WorkingStep("F_t = T / b", note=phrase("the body holds the torque that the shaft takes away"))
    yield WorkingStep(
        "F_p = k * max(abs(F_s / 2 + F_t), abs(F_s / 2 - F_t))",
        note=phrase("half the weight with the couple, the greater side"),
    )


_LEAST_SHOCK = 1.5  # common practice is 2; no source


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the side that bears more with what the mount bears."""
    name = phrase("Mount load")
    if given.mount_rating is None:
        yield not_known(name, phrase("what one side of the mount bears is not given: ask its maker"))
    else:
        words = phrase("greatest load on one side, against what it bears")
        check = at_most(name, found.peak_load, given.mount_rating, words, FORCE)
        still = phrase("the torque was given as 0: nothing drives")
        bare = phrase("the engine's mass was given as 0: it decides how hard the rear mount is pulled")
        smooth = phrase("a shock factor under 1.5 leaves out bumps and a dropped clutch")
        yield open_where(
            check,
            None if given.output_torque else still,
            None if given.engine_mass else bare,
            smooth if given.shock_factor < _LEAST_SHOCK else None,
        )


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where a mount is pulled instead of pressed."""
    if found.static_load < 0:
        yield phrase(
            "The engine outweighs the gearbox about its mounts: the rear mount is pulled upwards and must hold down."
        )
    if found.static_load >= 0 and found.torque_couple * given.shock_factor > found.static_load / 2:
        yield phrase("Torque lifts one side of the mount: it must be captive, so that rubber that fails cannot let go.")


_WIDE = 120.0
_HALF = 24.0  # mm from the shaft down to the mounts


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The unit as a beam from the side: weights down, the rear mount's force up."""
    places = (0.0, given.mass_position, given.engine_position, given.mount_position)
    scale = _WIDE / (max(places) - min(places))
    engine, gearbox, mount = (x * scale for x in (given.engine_position, given.mass_position, given.mount_position))
    # The mount pushes the gearbox up, or holds it down.
    push = (-_HALF - 36, -_HALF - 10) if found.static_load >= 0 else (-_HALF - 10, -_HALF - 36)
    items: list[Item] = [
        *_unit(engine, gearbox, mount),
        *(item for foot in (0.0, mount) for item in _rubber(foot)),
        Text((0, -_HALF - 18), phrase("engine mounts"), 4.2, "middle"),
        *_weight(engine, 37, phrase("engine {show}", show=show(given.engine_mass * GRAVITY, FORCE)), Role.ENGINE),
        *_weight(gearbox, 27, phrase("gearbox {show}", show=show(given.gearbox_mass * GRAVITY, FORCE)), Role.GEARBOX),
        Arrow((mount, push[0]), (mount, push[1]), height=4.2),
        Text((mount, -_HALF - 44), phrase("rear mount {show}", show=show(found.static_load, FORCE)), 4.2, "middle"),
        Text((mount, -_HALF - 51), phrase("± {show} each side", show=show(found.torque_couple, FORCE)), 4.2, "middle"),
    ]
    said = phrase(
        "The rear mount carries {show} standing, ± {show_2} "
        "a side under torque, at most {show_3} on one side with shock.",
        show=show(found.static_load, FORCE),
        show_2=show(found.torque_couple, FORCE),
        show_3=show(found.peak_load, FORCE),
    )
    return sheet(phrase("Engine and gearbox on their mounts"), said, items)


def _unit(engine: float, gearbox: float, mount: float) -> Iterator[Item]:
    """The engine over its middle, the gearbox from there to its mount, and where both weigh."""
    reach = max(abs(gearbox - engine) / 2, 16.0)
    yield bodies.engine(engine - reach, engine + reach, 20.0)
    yield bodies.gearbox(engine + reach, max(gearbox + 10, mount + 4, engine + reach + 10), 16.0)
    for place, role in ((engine, Role.ENGINE), (gearbox, Role.GEARBOX)):
        yield Circle((place, 0), 3, Tone.PLAIN, role=role)
        yield CentreMark((place, 0), 5)


def _rubber(foot: float) -> Iterator[Item]:
    yield Line((foot, 0), (foot, -_HALF))
    yield Polyline(box(foot - 6, foot + 6, -_HALF - 4, -_HALF), closed=True, fill=Tone.METAL)
    yield Line((foot - 9, -_HALF - 4), (foot + 9, -_HALF - 4))


def _weight(place: float, top: float, words: str, role: Role) -> Iterator[Item]:
    yield Arrow((place, top), (place, 6), role=role, height=4.2)
    yield Text((place, top + 3), words, 4.2, "middle")


CALCULATION = Calculation(
    title=phrase("Mount loads"),
    question=phrase("What must the gearbox mount bear?"),
    area=phrase("Shifter, mounts and welds"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "gearbox_mass": 42.5,
        "mass_position": 540,
        "mount_position": 905,
        "engine_mass": 165,
        "engine_position": -80,
        "output_torque": 980,
        "mount_spacing": 310,
        "mount_rating": 8000,
    },
    cautions=(
        phrase("Support engine and gearbox with a stand or hoist rated for them before any mount is undone."),
        phrase(
            "Mounts and their crossmember carry the driveline in a crash: have them judged where local rules ask for "
            "it."
        ),
    ),
    sources=(
        Source(
            phrase("Statics of a beam on two supports with a couple"),
            "general",
            phrase("moments about the front supports"),
        ),
        Source(phrase("Shock factor 2"), phrase("common practice, no source")),
    ),
    limits=(
        phrase(
            "Rigid engine and gearbox on level ground, the rear mount as one pair; the engine mounts take no torque."
        ),
        phrase("Braking, cornering and bumps are within the shock factor only as far as it goes."),
    ),
    revision=4,
    not_checked=(phrase("The bracket, its bolts, the floor it is fixed to, the rubber, and the engine mounts."),),
)
