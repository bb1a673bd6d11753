"""The invented knowledge base of the demo: makers, parts and readings of a shop that exists nowhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from django.contrib.auth.models import User

from shop.base.records import save_as
from shop.demo import component_readings
from shop.demo.component_data import COMPONENTS, DemoComponent, DemoReading
from shop.demo.component_faces import (
    HOLE_FIELDS,
    MATING,
    PATTERNS,
    TORQUE_SPECS,
    Mating,
    Pattern,
    Torque,
)
from shop.measuring import changes
from specs.engine import parsing, units
from specs.geometry.datums import from_dowels
from specs.models import Component, Dimension, HolePattern, MatingFeature, Measurement, Specimen, TorqueSpec

if TYPE_CHECKING:
    from shop.demo.world import World


def make(world: World) -> None:
    """Put the components, readings, hole patterns and torque specs on record, once."""
    for part in COMPONENTS:
        _component(part, world.people, world.today)
    for pattern in PATTERNS:
        _pattern(pattern, world.people, world.today)
    _by_calipers(world.people, world.today)
    for torque in TORQUE_SPECS:
        _torque_spec(torque, world.people)
    for mating in MATING:
        _feature(mating, world.people)


def component(name: str) -> Component:
    """A component of the demo by its name, for the areas above."""
    return Component.objects.get(name=name)


def _component(part: DemoComponent, people: dict[str, User], today: date) -> None:
    found, new = Component.objects.get_or_create(
        maker=part.maker, name=part.name, defaults={"kind": part.kind, "notes": part.notes}
    )
    if not new:
        return
    specimens = {mark: Specimen.objects.create(component=found, mark=mark) for mark in part.specimens}
    for name, (kind, datum, *readings) in part.dimensions.items():
        dimension = Dimension.objects.create(component=found, name=name, kind=kind, datum=datum)
        for reading in readings:
            _reading(reading, dimension, specimens, people, today)


def _reading(
    reading: DemoReading, dimension: Dimension, specimens: dict[str, Specimen], people: dict[str, User], today: date
) -> Measurement:
    kind = units.KINDS[dimension.kind]
    return changes.record_measurement(
        dimension=dimension,
        person=people[reading.who],
        value=parsing.read(reading.typed, kind).value,
        typed=reading.typed,
        tolerance=parsing.read(reading.tolerance, kind).value,
        tolerance_typed=reading.tolerance,
        instrument=reading.instrument,
        specimen=specimens.get(reading.specimen),
        measured_on=today - timedelta(days=reading.days_ago),
        note=reading.note,
    )


def _pattern(pattern: Pattern, people: dict[str, User], today: date) -> None:
    parent = component(pattern.component)
    measured_on = today - timedelta(days=pattern.days_ago)
    if HolePattern.objects.filter(component=parent, face=pattern.face, notes=pattern.notes).exists():
        return
    record = HolePattern(
        component=parent,
        face=pattern.face,
        datum=pattern.datum,
        seen_from=pattern.seen_from,
        instrument=pattern.instrument,
        measured_on=measured_on,
        notes=pattern.notes,
        outline=[list(corner) for corner in pattern.outline],
    )
    if pattern.probed:
        record.method = HolePattern.Method.POINTS
        read = component_readings.probed(pattern)
        record.readings = [{"hole": hole["name"], **hole.pop("readings")} for hole in read]
        holes = read
    else:
        holes = [dict(zip(HOLE_FIELDS, hole, strict=True)) for hole in pattern.holes]
    changes.add_hole_pattern(pattern=record, holes=holes, person=people[pattern.who])


def _by_calipers(people: dict[str, User], today: date) -> None:
    """The gearbox face once more, by caliper, then moved from its first dowel to the shaft's axis."""
    face = next(pattern for pattern in PATTERNS if pattern.component == "QZ-5")
    parent = component(face.component)
    if parent.hole_patterns.filter(method=HolePattern.Method.DISTANCES).exists():
        return
    placed = component_readings.by_calipers(face)
    record = HolePattern(
        component=parent,
        face=face.face,
        datum="dowel D1; x towards D2",
        seen_from=face.seen_from,
        method=HolePattern.Method.DISTANCES,
        instrument="caliper 300",
        measured_on=today - timedelta(days=30),
        notes="Third measurement, to settle the second, which was read mirrored.",
        readings=placed.as_readings,
    )
    kept = changes.add_hole_pattern(pattern=record, holes=placed.as_holes, person=people["tibor"])
    places = {hole.name: (hole.x, hole.y) for hole in kept.holes.all()}
    to = replace(from_dowels(places["D1"], places["D2"]), construction="halfway between D1 and D2, x from D1 to D2")
    changes.move_datum(pattern=kept, to=to, datum=face.datum, person=people["tibor"])


def _feature(mating: Mating, people: dict[str, User]) -> None:
    parent = component(mating.component)
    if MatingFeature.objects.filter(component=parent, name=mating.name).exists():
        return
    feature = MatingFeature(component=parent, kind=mating.kind, form=mating.form, name=mating.name, count=mating.count)
    feature.full_clean()
    sizes = {role: parent.dimensions.get(name=name) for role, name in mating.sizes}
    changes.keep_feature(feature=feature, sizes=sizes, person=people["tibor"])


def _torque_spec(torque: Torque, people: dict[str, User]) -> None:
    parent = component(torque.component)
    if TorqueSpec.objects.filter(component=parent, place=torque.place).exists():
        return
    published = parsing.read(torque.published, units.TORQUE).value if torque.published else None
    spec = TorqueSpec(
        component=parent,
        place=torque.place,
        thread=torque.thread,
        grade=torque.grade,
        count=torque.count,
        condition=torque.condition,
        head=torque.head,
        bearing_diameter=parsing.read(torque.bearing, units.LENGTH).value if torque.bearing else None,
        bearing_diameter_typed=torque.bearing,
        published_torque=published,
        published_typed=torque.published,
        published_source=torque.source,
        stages=[_stage(typed) for typed in torque.stages],
        single_use=torque.single_use,
        notes=torque.notes,
    )
    save_as(spec, person=people["tibor"])


def _stage(typed: str) -> dict[str, Any]:
    kind = units.ANGLE if typed.endswith("°") else units.TORQUE
    return {"kind": kind.name, "typed": typed, "value": parsing.read(typed, kind).value}
