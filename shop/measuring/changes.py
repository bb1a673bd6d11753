"""Writing to the knowledge base: one verb each, with permission, one transaction and history inside."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime
from math import degrees, hypot
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import models, transaction
from django.utils.translation import gettext
from simple_history.utils import bulk_create_with_history

from shop.base.records import delete_record, remove_record, save_as
from shop.base.roles import require
from shop.base.written import kept_text
from shop.measuring.hole_table import with_bolt
from specs.geometry.datums import Datum, moved_uncertainty
from specs.geometry.points import Point
from specs.models import Component, Dimension, FeatureSize, Hole, HolePattern, MatingFeature, Measurement, Specimen

R = TypeVar("R", bound=models.Model)
# Two places nearer than this [mm] are one: a form writes ten figures of each coordinate.
SAME_PLACE = 1e-6


@transaction.atomic
def record_measurement(
    *,
    dimension: Dimension,
    person: User,
    value: float,
    typed: str,
    tolerance: float,
    tolerance_typed: str,
    instrument: str,
    measured_on: date,
    specimen: Specimen | None = None,
    note: str = "",
    confirmed: str = "",
) -> Measurement:
    """Keep one more reading beside those there are; value and tolerance in SI units of the dimension's kind."""
    require(person, "measuring.measure")
    reading = Measurement(
        dimension=dimension,
        person_id=person.pk,
        value=value,
        typed=typed,
        tolerance=tolerance,
        tolerance_typed=tolerance_typed,
        instrument=instrument,
        measured_on=measured_on,
        specimen=specimen,
        note=note,
        confirmed=confirmed,
    )
    reading.full_clean()
    return save_as(reading, person=person)


@transaction.atomic
def choose_reading(dimension: Dimension, *, measurement: Measurement | None, reason: str, person: User) -> Dimension:
    """Let a reading count in place of the most recent one (None: the most recent again); the reason is kept."""
    require(person, "measuring.judge")
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why this reading should count.")})
    if measurement is not None and (measurement.dimension_id != dimension.pk or measurement.is_deleted):
        raise ValidationError(
            {"measurement": gettext("Only a reading of this dimension that was not deleted can count.")}
        )
    dimension.chosen = measurement
    dimension.chosen_reason = reason.strip() if measurement else ""
    return save_as(dimension, person=person, reason=reason)


@transaction.atomic
def delete_with_reason(record: R, *, person: User, reason: str, now: datetime) -> R:
    """Delete a record with a reason. A deleted reading that had been chosen is no longer the choice."""
    require(person, "measuring.judge")
    delete_record(record, person=person, reason=reason, now=now)
    if isinstance(record, Measurement):
        for dimension in Dimension.objects.filter(chosen=record):
            dimension.chosen, dimension.chosen_reason = None, ""
            save_as(
                dimension,
                person=person,
                reason=kept_text("The chosen reading was deleted: {reason}", reason=reason),
            )
    return record


@transaction.atomic
def add_hole_pattern(pattern: HolePattern, *, holes: Iterable[Mapping[str, Any]], person: User) -> HolePattern:
    """Keep a new pattern with all its holes, or nothing. Each hole is a mapping of `Hole` fields."""
    require(person, "measuring.edit")
    demand_own_name(pattern)
    pattern.person_id = person.pk
    save_as(pattern, person=person)
    made = [Hole(pattern=pattern, **with_bolt(fields)) for fields in holes]
    bulk_create_with_history(made, Hole, default_user=person)
    return pattern


def demand_own_name(pattern: HolePattern) -> None:
    """Refuse a second pattern of one face, day and datum: nobody could say which of them a plate was made of."""
    # Two people adding the same pattern at once must not both pass: the second waits here for the first.
    Component.objects.select_for_update().get(pk=pattern.component_id)
    same_day = HolePattern.objects.active().filter(component=pattern.component_id, measured_on=pattern.measured_on)
    if any(_name(one) == _name(pattern) for one in same_day.exclude(pk=pattern.pk)):
        words = gettext("There is a pattern of this face, of this day and from this datum already: edit that one")
        raise ValidationError({"face": gettext("{words}, or give this one another name.").format(words=words)})


def _name(pattern: HolePattern) -> tuple[list[str], list[str]]:
    return pattern.face.casefold().split(), pattern.datum.casefold().split()


@transaction.atomic
def keep_feature(feature: MatingFeature, *, sizes: Mapping[str, Dimension], person: User) -> MatingFeature:
    """Keep a mating feature, new or changed, with the dimension that gives each of its sizes."""
    require(person, "measuring.edit")
    save_as(feature, person=person)
    before = {size.role: size for size in FeatureSize.objects.filter(feature=feature)}
    for role, dimension in sizes.items():
        size = before.pop(role, None) or FeatureSize(feature=feature, role=role)
        if size.dimension_id != dimension.pk:
            size.dimension = dimension
            save_as(size, person=person)
    for size in before.values():
        remove_record(size, person=person)
    return feature


@transaction.atomic
def move_datum(
    pattern: HolePattern, *, to: Datum, datum: str, person: User, located_by: Sequence[Hole] = ()
) -> HolePattern:
    """Keep the pattern once more, in another datum, with the construction; the old one stays as it is.

    located_by: the holes that the datum was constructed from, whose own uncertainty every place takes on.
    """
    require(person, "measuring.edit")
    old = to.of((0.0, 0.0))
    moved = HolePattern(
        **{name: getattr(pattern, name) for name in ("component", "specimen", "face", "seen_from", "instrument")},
        datum=datum,
        method=HolePattern.Method.MOVED,
        measured_on=pattern.measured_on,
        person_id=pattern.person_id,
        notes=pattern.notes,
        derived_from=pattern,
        outline=[list(to.of((x, y))) for x, y in pattern.outline],
        construction={
            "words": to.construction,
            "origin": list(to.origin),
            "turn_deg": degrees(to.angle),
            "old_origin": list(old),
        },
    )
    demand_own_name(moved)
    save_as(moved, person=person)
    holes = [_moved_hole(hole, moved, to, located_by) for hole in pattern.holes.all()]
    bulk_create_with_history(holes, Hole, default_user=person)
    return moved


def _moved_hole(hole: Hole, pattern: HolePattern, to: Datum, located_by: Sequence[Hole]) -> Hole:
    x, y = to.of((hole.x, hole.y))
    kept = ("name", "diameter", "kind", "head_diameter", "thread", "bolt")
    known = _moved_uncertainty(hole, (x, y), to, located_by)
    return Hole(pattern=pattern, x=x, y=y, uncertainty=known, **{name: getattr(hole, name) for name in kept})


def _moved_uncertainty(hole: Hole, place: Point, to: Datum, located_by: Sequence[Hole]) -> float | None:
    """How well the place is known in the new datum; None where a reading that it rests on does not tell."""
    if hole.uncertainty is None or any(one.uncertainty is None for one in located_by):
        return None
    found = [(to.of((one.x, one.y)), one.uncertainty or 0.0) for one in located_by]
    return moved_uncertainty(hole.uncertainty, place, found)


@transaction.atomic
def replace_holes(pattern: HolePattern, *, holes: Iterable[Mapping[str, Any]], person: User) -> HolePattern:
    """Correct a pattern's table: holes of the same name change, missing ones go; history keeps what was."""
    require(person, "measuring.edit")
    demand_own_name(pattern)
    save_as(pattern, person=person)
    before = {hole.name: hole for hole in pattern.holes.all()}
    for fields in map(with_bolt, holes):
        hole = before.pop(fields["name"], None) or Hole(pattern=pattern)
        if hole.pk and hypot(hole.x - fields["x"], hole.y - fields["y"]) > SAME_PLACE:
            hole.uncertainty = None  # It was that of the place as read, not as typed over it.
        for name, value in fields.items():
            # A table that says nothing of how well a place is known takes nothing away of it.
            if name != "uncertainty" or value is not None:
                setattr(hole, name, value)
        save_as(hole, person=person)
    for hole in before.values():
        remove_record(hole, person=person)
    return pattern
