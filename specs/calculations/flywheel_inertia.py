"""A flywheel's mass, inertia and energy, from its rings and the holes in them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from specs.drawings.annotation import CentreMark
from specs.drawings.primitives import Circle, Drawing, Item, Line, Role, Text
from specs.drawings.sections import LETTERS, along, axis, box, cut_ring, diameter, sheet, uncut
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, records, result, whole
from specs.engine.units import (
    ANGULAR_SPEED,
    DENSITY,
    ENERGY,
    INERTIA,
    LENGTH,
    MASS,
    SPEED,
    show,
)
from specs.engine.working import in_radians
from specs.phrase import phrase
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Section:
    """A ring of one thickness; a disc has no inside diameter."""

    outside: float = quantity(LENGTH, phrase("Outside diameter"), above=0)
    inside: float = quantity(LENGTH, phrase("Inside diameter"), at_least=0, help=phrase("0 for a full disc"))
    thickness: float = quantity(LENGTH, phrase("Thickness"), above=0)
    density: float = quantity(
        DENSITY, phrase("Density"), default=7850, at_least=1000, help=phrase("steel 7850, grey iron about 7200")
    )


@dataclass(frozen=True, kw_only=True)
class DrilledHole:
    """Equal round holes on a circle about the axis; one alone in the middle has a pitch circle of 0."""

    count: int = whole(phrase("Count"), at_least=1)
    diameter: float = quantity(LENGTH, phrase("Diameter"), above=0)
    pitch_circle: float = quantity(LENGTH, phrase("Pitch circle diameter"), at_least=0)
    depth: float = quantity(LENGTH, phrase("Depth"), above=0)
    density: float = quantity(
        DENSITY, phrase("Density"), default=7850, at_least=1000, help=phrase("of the section that it is in")
    )


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Sections may stand beside, around or behind one another; they share the axis."""

    sections: tuple[Section, ...] = records(Section, phrase("Rings and discs"), group="Shape")
    holes: tuple[DrilledHole, ...] = records(DrilledHole, phrase("Holes"), default=(), at_least=0, group="Shape")
    speed: float = quantity(SPEED, phrase("Greatest speed"), symbol="omega", above=0, group="Speed")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """About the crankshaft's axis."""

    mass: float = result(MASS, phrase("Mass"), symbol="m")
    inertia: float = result(INERTIA, phrase("Inertia"), symbol="I")
    energy: float = result(ENERGY, phrase("Energy at that speed"), symbol="E")


def _ring(section: Section) -> tuple[float, float]:
    mass = math.pi / 4 * section.density * section.thickness * (section.outside**2 - section.inside**2)
    return mass, mass * (section.outside**2 + section.inside**2) / 8


def _drilled(hole: DrilledHole) -> tuple[float, float]:
    mass = hole.count * math.pi / 4 * hole.density * hole.depth * hole.diameter**2
    return mass, mass * (hole.diameter**2 / 8 + hole.pitch_circle**2 / 4)


def solve(given: Inputs) -> Outputs:
    """Add rings and take off holes: ring I = m(D² + d²)/8, hole I = m(d²/8 + p²/4) [kg·m²] (parallel axes); E = I·ω²/2.

    Diameters, pitch circles p [m]; energy [J]. Raises Refused where a ring has no width, or a hole is not wholly in
    the material, runs into its neighbour or is deeper than what it is in.
    """
    for at, section in enumerate(given.sections, start=1):
        if section.inside >= section.outside:
            raise Refused(
                "sections", phrase("Row {at}: the inside diameter must be less than the outside diameter.", at=at)
            )
    for at, hole in enumerate(given.holes, start=1):
        _refuse_impossible(at, hole, given.sections)
    added, taken = [_ring(section) for section in given.sections], [_drilled(hole) for hole in given.holes]
    mass = sum(m for m, _ in added) - sum(m for m, _ in taken)
    inertia = sum(i for _, i in added) - sum(i for _, i in taken)
    if mass <= 0:
        raise Refused("holes", phrase("take away more than there is."))
    return Outputs(mass=mass, inertia=inertia, energy=inertia * given.speed**2 / 2)


# A hole that just touches an edge does not cut it for a rounding of the last figure.
_CLOSE = 1 + 1e-9


def _refuse_impossible(at: int, hole: DrilledHole, sections: tuple[Section, ...]) -> None:
    inner, outer = hole.pitch_circle - hole.diameter, hole.pitch_circle + hole.diameter
    around = [
        section
        for section in sections
        if outer <= section.outside * _CLOSE and (section.inside == 0 or inner * _CLOSE >= section.inside)
    ]
    if not around:
        raise Refused("holes", phrase("Row {at}: these holes are not wholly inside any of the rings.", at=at))
    if hole.count > 1 and hole.pitch_circle * math.sin(math.pi / hole.count) * _CLOSE < hole.diameter:
        raise Refused(
            "holes",
            phrase("Row {at}: {count} such holes on this pitch circle run into one another.", at=at, count=hole.count),
        )
    if hole.depth > sum(section.thickness for section in around) * _CLOSE:
        raise Refused("holes", phrase("Row {at}: the holes are deeper than the material they are in.", at=at))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Each ring, each circle of holes, the sums, the energy."""
    parts: list[tuple[str, float, float]] = []
    for at, section in enumerate(given.sections, start=1):
        mass, inertia = _ring(section)
        parts.append((f"{at}", mass, inertia))
        yield from _ring_steps(at, section, mass, inertia)
    for at, hole in enumerate(given.holes, start=1):
        mass, inertia = _drilled(hole)
        parts.append((f"h{at}", mass, inertia))
        yield from _hole_steps(at, hole, mass, inertia)
    masses = {f"m_{name}": (mass, MASS) for name, mass, _ in parts}
    inertias = {f"I_{name}": (inertia, INERTIA) for name, _, inertia in parts}
    yield WorkingStep(f"m = {_summed('m', parts)}", masses)
    yield WorkingStep(f"I = {_summed('I', parts)}", inertias)
    yield in_radians("omega", given.speed, "n")
    yield WorkingStep("E = I * omega**2 / 2", {"omega": (given.speed, ANGULAR_SPEED)})


def _summed(symbol: str, parts: list[tuple[str, float, float]]) -> str:
    signed = (f"{'-' if name.startswith('h') else '+'} {symbol}_{name}" for name, _, _ in parts)
    return " ".join(signed).removeprefix("+ ")


def _ring_steps(at: int, section: Section, mass: float, inertia: float) -> Iterator[WorkingStep]:
    values = {
        f"m_{at}": (mass, MASS),
        f"I_{at}": (inertia, INERTIA),
        "D": (section.outside, LENGTH),
        "d": (section.inside, LENGTH),
        "t": (section.thickness, LENGTH),
        "rho": (section.density, DENSITY),
    }
    yield WorkingStep(f"m_{at} = pi / 4 * rho * t * (D**2 - d**2)", values, note=phrase("ring {at}", at=at))
    yield WorkingStep(f"I_{at} = m_{at} * (D**2 + d**2) / 8", values)


def _hole_steps(at: int, hole: DrilledHole, mass: float, inertia: float) -> Iterator[WorkingStep]:
    values = {
        f"m_h{at}": (mass, MASS),
        f"I_h{at}": (inertia, INERTIA),
        "d": (hole.diameter, LENGTH),
        "p": (hole.pitch_circle, LENGTH),
        "t": (hole.depth, LENGTH),
        "rho": (hole.density, DENSITY),
    }
    yield WorkingStep(
        f"m_h{at} = {hole.count} * pi / 4 * rho * t * d**2",
        values,
        note=phrase("holes {at}, {count} of them", at=at, count=hole.count),
    )
    yield WorkingStep(f"I_h{at} = m_h{at} * (d**2 / 8 + p**2 / 4)", values)


# The height of the picture [mm], how wide a section is drawn at most, and how many holes of a kind are drawn.
_HIGH, _WIDEST, _MOST_HOLES = 84.0, 34.0, 48


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The flywheel seen along its axis, and every ring or disc cut along it, with its diameters and its thickness."""
    largest = max(section.outside for section in given.sections)
    scale, at = _HIGH / largest, _HIGH / 2 + 34
    items: list[Item] = [*_face(given, scale)]
    for number, section in enumerate(given.sections):
        width = max(min(section.thickness * scale, _WIDEST), 3.0)
        holes = [hole for hole in given.holes if _home(hole, given.sections) == number]
        items += _cut(section, at, width, scale, 45 if number % 2 else 135)
        for hole in holes:
            items += _hole_cut(hole, at, width * min(hole.depth / section.thickness, 1), scale)
        at += width + 44
    items.append(axis(_HIGH / 2 + 10, at - 24))
    told = f"{show(found.mass, MASS)}, {show(found.inertia, INERTIA)}"
    drilled = (
        phrase(", less {holes} kind{value} of hole", holes=len(given.holes), value="s" * (len(given.holes) > 1))
        if given.holes
        else ""
    )
    return sheet(
        phrase("Flywheel, cut along its axis"),
        phrase("{sections} sections{drilled}: {told}.", sections=len(given.sections), drilled=drilled, told=told),
        items,
    )


def _face(given: Inputs, scale: float) -> Iterator[Item]:
    """The flywheel along its axis: the circles of its rings, its holes on their circles, and what these are."""
    for across in sorted({size for one in given.sections for size in (one.outside, one.inside) if size}, reverse=True):
        yield Circle((0, 0), across / 2 * scale)
    for row, hole in enumerate(given.holes):
        out, size = hole.pitch_circle / 2 * scale, max(hole.diameter / 2 * scale, 0.5)
        if out:
            yield Circle((0, 0), out, role=Role.CENTRE)
        for turn in range(min(hole.count, _MOST_HOLES)):
            angle = math.tau * turn / hole.count + math.pi / 2
            yield Circle((out * math.cos(angle), out * math.sin(angle)), size)
        on = f" on ⌀{show(hole.pitch_circle, LENGTH)}" if out else ""
        words = f"{hole.count} × ⌀{show(hole.diameter, LENGTH)}{on}"
        yield Text((0, -_HIGH / 2 - 9 - 1.6 * LETTERS * row), words, LETTERS, "middle")
    yield CentreMark((0, 0), _HIGH / 2 + 4)


def _cut(section: Section, at: float, width: float, scale: float, hatching: float) -> Iterator[Item]:
    inner, outer = section.inside / 2 * scale, section.outside / 2 * scale
    yield from cut_ring(at, at + width, inner, outer, hatching)
    yield diameter(at + width, 2 * outer, show(section.outside, LENGTH), 9)
    if section.inside:
        yield diameter(at, 2 * inner, show(section.inside, LENGTH), -9)
    yield along(at, at + width, -outer, show(section.thickness, LENGTH), -8)


def _hole_cut(hole: DrilledHole, at: float, deep: float, scale: float) -> Iterator[Item]:
    """A hole cut along it, turned into the plane of the cut above and below, as is usual for holes on a circle."""
    half = hole.diameter / 2 * scale
    for middle in {hole.pitch_circle / 2 * scale, -hole.pitch_circle / 2 * scale}:
        yield uncut(box(at, at + deep, middle - half, middle + half))
        if middle:
            yield Line((at - 2, middle), (at + deep + 2, middle), role=Role.CENTRE)


def _home(hole: DrilledHole, sections: Sequence[Section]) -> int | None:
    """The one section that a hole can be in; none where several could hold it, or none could."""
    inner, outer = (hole.pitch_circle + side * hole.diameter for side in (-1, 1))
    able = [
        at
        for at, one in enumerate(sections)
        if one.inside <= inner and outer <= one.outside and hole.depth <= one.thickness and one.density == hole.density
    ]
    return able[0] if len(able) == 1 else None


CALCULATION = Calculation(
    title=phrase("Flywheel inertia"),
    question=phrase("How heavy is the flywheel, and how much does it hold on to its speed?"),
    area=phrase("Flywheel"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    drawing=drawing,
    example={
        "sections": [
            {"outside": 280, "inside": 30, "thickness": 22},
            {"outside": 300, "inside": 280, "thickness": 12},
        ],
        "holes": [{"count": 6, "diameter": 10.2, "pitch_circle": 260, "depth": 22}],
        "speed": 6500,
    },
    transforms=True,
    revision=2,
    cautions=(
        phrase(
            "Balance after every cut: uneven holes shake the crank, and a light flywheel may need its damper matched."
        ),
        phrase("Making a flywheel lighter by holes raises the stress at them: look at its speed limits as well."),
    ),
    sources=(
        Source(
            phrase("R. K. Bansal, Engineering Mechanics"),
            "",
            phrase("mass moments of inertia, example 15.34, as solved"),
            "read",
        ),
        Source(phrase("Parallel axis theorem (Huygens and Steiner)"), "general", phrase("mechanics of rigid bodies")),
    ),
    limits=(phrase("Rings of one thickness with plain round holes along the axis; fillets and teeth are left out."),),
    not_checked=(phrase("Stress, burst speed and balance."),),
)
