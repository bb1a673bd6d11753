"""A joint of bolts and dowels between two flat parts: what it carries, loses and slips at. SI throughout.

The rows are declared as a calculation's inputs are; `Joint` is what `bolt-group` asks of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from specs.engine.calculation import Refused, quantity, text
from specs.engine.checks import Check, at_most, not_known, open_where
from specs.engine.units import AREA, FORCE, LENGTH, STRESS
from specs.geometry.point_group import PointGroup
from specs.geometry.slip_centre import Slip, least_slip
from specs.phrase import phrase
from specs.standards import threads

GRAVITY = 9.80665  # m/s²
# Bolts of one size, where neither area nor thread is given [m²]: only shares count.
_UNIT_AREA = 1e-6
# Two places closer than this [m] are one: no bolts stand in each other.
_SAME_PLACE = 1e-6
# Reckoned with where the faces' friction was not given: a figure, never a verdict.
ASSUMED_FRICTION = 0.15
# EN 1993-1-8, table 3.7: the slip factor of blasted steel, the roughest class (from memory). More is not believed.
_MOST_FRICTION = 0.5


@dataclass(frozen=True, kw_only=True)
class Bolt:
    """One bolt: where it is, how tight at the least, and its area or the thread that gives it."""

    name: str = text(phrase("Name"))
    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")
    preload: float = quantity(
        FORCE, phrase("Least preload"), above=0, help=phrase("at the driest friction, less settling")
    )
    area: float | None = quantity(
        AREA, phrase("Area"), above=0, optional=True, help=phrase("only its share of all areas counts")
    )
    thread: str | None = text(phrase("Thread"), optional=True, help=phrase("gives the area: M10, 3/8-16 UNC"))


@dataclass(frozen=True, kw_only=True)
class LoadedDowel:
    """One dowel: where it is, how thick, and the stresses that it and the softer part bear."""

    name: str = text(phrase("Name"))
    x: float = quantity(LENGTH, "x")
    y: float = quantity(LENGTH, "y")
    diameter: float = quantity(LENGTH, phrase("Diameter"), above=0)
    shear_strength: float = quantity(STRESS, phrase("Shear strength"), above=0)
    length: float | None = quantity(
        LENGTH, phrase("Length in the softer part"), above=0, optional=True, help=phrase("without chamfers")
    )
    bearing_strength: float | None = quantity(
        STRESS,
        phrase("Bearing pressure the softer part stands"),
        above=0,
        optional=True,
        help=phrase("at most its yield strength"),
    )

    @property
    def area(self) -> float:
        return math.pi / 4 * self.diameter**2

    def bearing(self, shear: float) -> float | None:
        """Pressure on the softer part [Pa] at a shear stress [Pa]: F/(d·l); None where the length is not given."""
        return shear * self.area / (self.diameter * self.length) if self.length else None


def area_of(member: Bolt | LoadedDowel) -> float:
    """The area [m²] by which a bolt or dowel shares the load: as given, of its thread, or 1 mm² for all alike."""
    if isinstance(member, Bolt) and member.area is None:
        return threads.find(member.thread).stress_area if member.thread else _UNIT_AREA
    assert member.area is not None
    return member.area


def group_of(members: Sequence[Bolt | LoadedDowel]) -> PointGroup:
    """Bolts or dowels as points weighted by their areas."""
    return PointGroup(tuple((member.x, member.y) for member in members), tuple(map(area_of, members)))


@dataclass(frozen=True)
class Joint:
    """The bolts in use and the dowels under a torque [N·m] and a force [N] at the origin, with an overhang.

    weight: what hangs behind the joint weighs over bumps [N]; overhang: how far behind its centre of mass is [m].
    """

    bolts: tuple[Bolt, ...]
    dowels: tuple[LoadedDowel, ...]
    mu: float
    torque: float
    force: tuple[float, float]
    weight: float
    overhang: float

    @cached_property
    def group(self) -> PointGroup:
        return group_of(self.bolts)

    @cached_property
    def _turning(self) -> Slip:
        """When it slips under 1 N·m alone, at the preloads as given."""
        return least_slip(self.group.points, [self.mu * bolt.preload for bolt in self.bolts], 1.0, (0.0, 0.0))

    @property
    def friction_torque(self) -> float:
        """The torque alone that makes it slip [N·m], at the preloads as given."""
        return self._turning.factor

    @cached_property
    def losses(self) -> tuple[float, ...]:
        """How much clamp the overhang takes from each bolt [N]; what others gain is not counted."""
        if not self.overhang:
            return (0.0,) * len(self.bolts)
        return tuple(max(pull, 0.0) for pull in self.group.tipped(self.weight * self.overhang))

    @cached_property
    def opening(self) -> tuple[float, int]:
        """The greatest share of its clamp that a bolt loses to the overhang, and which bolt by its place."""
        shares = [loss / bolt.preload for bolt, loss in zip(self.bolts, self.losses, strict=True)]
        return max(shares), shares.index(max(shares))

    @cached_property
    def governing_force(self) -> tuple[float, float]:
        """The force with the overhang's weight, up or down, whichever slips sooner."""
        down, up = ((self.force[0], self.force[1] + way * self.weight) for way in (-1, 1))
        return up if self.weight and self._slip_under(up).factor < self._slip_under(down).factor else down

    @cached_property
    def slip(self) -> Slip:
        """When the joint slips under the governing loads, on the clamp that is left."""
        return self._slip_under(self.governing_force)

    def _slip_under(self, force: tuple[float, float]) -> Slip:
        if not (self.torque or force[0] or force[1]):
            return Slip(math.inf, None)  # the side force carries just the weight
        if not (self.overhang or force[0] or force[1]):
            return Slip(self._turning.factor / abs(self.torque), self._turning.centre)
        pairs = zip(self.bolts, self.losses, strict=True)
        frictions = [self.mu * max(bolt.preload - loss, 0.0) for bolt, loss in pairs]
        return least_slip(self.group.points, frictions, self.torque, force)

    @cached_property
    def shears(self) -> tuple[tuple[float, float], ...]:
        """Force on each bolt [N] without friction."""
        return self.group.forces(self.torque, self.governing_force)

    @cached_property
    def dowel_stresses(self) -> tuple[float, ...]:
        """Shear stress in each dowel [Pa] with all of the torque on the dowels, about their own middle."""
        if not self.dowels:
            return ()
        group = group_of(self.dowels)
        return tuple(abs(self.torque) * radius / (group.weight * group.mean_square_radius) for radius in group.radii)

    @property
    def bearings(self) -> Iterator[tuple[LoadedDowel, float]]:
        """The dowels whose length is given, each with its pressure on the softer part [Pa]."""
        for dowel, stress in zip(self.dowels, self.dowel_stresses, strict=True):
            if (pressure := dowel.bearing(stress)) is not None:
                yield dowel, pressure

    def with_bolts(self, bolts: tuple[Bolt, ...]) -> Joint:
        return replace(self, bolts=bolts)


def demand_members(bolts: Sequence[Bolt], dowels: Sequence[LoadedDowel], omit: Sequence[str]) -> None:
    """Refuse what is no joint. Raises Refused at `bolts`, `dowels` or `omit`."""
    if len(bolts) < 2:
        raise Refused("bolts", phrase("Two bolts or more are needed: one bolt carries no torque."))
    if len(dowels) == 1:
        raise Refused("dowels", phrase("One dowel alone carries no torque: give two or more, or none."))
    _demand_sizes(bolts)
    _demand_places("bolts", bolts)
    _demand_places("dowels", dowels)
    known = [bolt.name for bolt in bolts]
    for name in omit:
        if name not in known:
            raise Refused(
                "omit", phrase("“{name}” is not one of the bolts: {known}.", name=name, known=", ".join(known))
            )
    if len(known) - len(omit) < 2:
        raise Refused("omit", phrase("leaves fewer than two bolts: a joint needs two or more."))


def demand_height(joint: Joint) -> None:
    """Refuse an overhang on bolts that stand level. Raises Refused at `overhang`."""
    if joint.overhang and joint.group.mean_square_height < _SAME_PLACE**2:
        raise Refused(
            "overhang", phrase("The bolts stand level with one another: nothing holds what hangs behind the joint.")
        )


def _demand_sizes(bolts: Sequence[Bolt]) -> None:
    for bolt in bolts:
        try:
            threads.find(bolt.thread or "M10")
        except threads.UnknownThread as unknown:
            raise Refused("bolts", f"{bolt.name}: {unknown}.") from None
    threaded = [bolt.name for bolt in bolts if bolt.thread and not bolt.area]
    bare = [bolt.name for bolt in bolts if not (bolt.thread or bolt.area)]
    if threaded and bare:
        raise Refused(
            "bolts",
            phrase("{bare} has neither thread nor area, others have: give every bolt's, or none.", bare=bare[0]),
        )


def _demand_places(input_name: str, members: Sequence[Bolt | LoadedDowel]) -> None:
    pair = group_of(members).coinciding(_SAME_PLACE)
    if pair:
        raise Refused(
            input_name,
            phrase("{name} and {name_2} stand in one place.", name=members[pair[0]].name, name_2=members[pair[1]].name),
        )


def slip_check(factor: float, mu: float | None) -> Check:
    """Check the loads against what friction carries: `factor` is the least that it carries over the loads."""
    if mu is None:
        return not_known(phrase("Slip"), phrase("the friction between the faces was not given"))
    words = phrase("the loads over the least that friction carries, over all centres about which the joint could turn")
    check = at_most(phrase("Slip"), 1 / factor if factor > 0 else math.inf, 1.0, words)
    rough = phrase("no table gives faces that much friction: it needs a test") if mu > _MOST_FRICTION else None
    return open_where(check, rough)


def dowel_checks(joint: Joint) -> Iterator[Check]:
    """Check the dowel nearest to its shear strength, and the pressure on holes, with all of the torque on them."""
    pairs = zip(joint.dowels, joint.dowel_stresses, strict=True)
    dowel, stress = max(pairs, key=lambda pair: pair[1] / pair[0].shear_strength)
    words = phrase("dowel {name} with all of the torque, against its strength", name=dowel.name)
    yield at_most(phrase("Dowel shear"), stress, dowel.shear_strength, words)
    yield _bearing_check(joint)


def _bearing_check(joint: Joint) -> Check:
    """Check the pressure of the dowels on their holes, with all of the torque on them."""
    name = phrase("Dowel bearing")
    known = [(dowel, p, dowel.bearing_strength) for dowel, p in joint.bearings if dowel.bearing_strength]
    pressed = max(known, key=lambda entry: entry[1] / entry[2], default=None)
    if pressed and (len(known) == len(joint.dowels) or pressed[1] > pressed[2]):
        words = phrase("dowel {name} with its share of all of the torque, on the softer part", name=pressed[0].name)
        return at_most(name, pressed[1], pressed[2], words)
    return not_known(
        name, phrase("a dowel's length in the softer part, or the pressure that part stands, was not given")
    )
