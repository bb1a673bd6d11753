"""Reading the knowledge base: a dimension's working value, and lists fetched whole in a constant number of queries."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.contrib.auth.models import User
from django.db.models import F, Max, Min, OuterRef, Prefetch, Q, QuerySet, Subquery

from specs.engine.readings import active, disagreements
from specs.models import (
    Component,
    Dimension,
    HolePattern,
    MatingFeature,
    Measurement,
    WorkingValue,
    working_value,
    working_value_of,
)
from specs.row_queries import OfEachRow, OfKeys, put_together_once

_NAMES = ("first_name", "last_name", "username")
"""What is read of somebody who is named."""


def dimensions_with_readings(
    dimensions: QuerySet[Dimension] | None = None, *, named: bool = True
) -> QuerySet[Dimension]:
    """Dimensions with their component and every reading, its specimen and, where it is `named`, who is named in it:
    two queries for any number."""
    readings = Measurement.objects.select_related("specimen")
    if named:
        readings = readings.with_only("person", *_NAMES).with_only("deleted_by", *_NAMES)
    queryset = Dimension.objects.all() if dimensions is None else dimensions
    return queryset.select_related("component").prefetch_related(Prefetch("measurements", readings))


@put_together_once
def dimensions_with_working() -> QuerySet[Dimension]:
    """Dimensions with their component and `working`, their working value: the same work for ten readings as for 10,000.

    Of the readings of each those are read that decide: the one that was chosen, the most recent, and the two that lie
    farthest apart beyond their tolerances. Intervals of which any two meet have a point in common (Helly's theorem on
    the line), so where two of all the readings contradict each other, those two do, to a billionth of what they say.
    """
    own = Measurement.objects.active().filter(dimension=OuterRef("pk"))
    decisive = {
        "latest_reading": own.order_by("-measured_on", "-pk"),
        "highest_from": own.order_by((F("value") - F("tolerance")).desc()),
        "lowest_to": own.order_by(F("value") + F("tolerance")),
    }
    found = {name: OfEachRow(readings.values("pk")[:1]) for name, readings in decisive.items()}
    return Dimension.objects.with_only("component", "maker", "name").annotate(**found).after_fetch(_read_working)


def _decisive(dimension: Any) -> set[int]:
    """The keys of the readings that decide a dimension's working value, and whether any two contradict each other."""
    wanted = dimension.latest_reading, dimension.highest_from, dimension.lowest_to, dimension.chosen_id
    return {key for key in wanted if key is not None}


_SAID_OF_READING = (
    *("dimension_id", "specimen_id", "value", "typed", "tolerance", "tolerance_typed", "instrument", "measured_on"),
    *("deleted_at", "person_id"),
)
"""What a list says of a reading, and no more of it: the rest would be read when it is asked for."""
_readings = OfKeys(lambda keys: Measurement.objects.filter(pk__in=keys).only(*_SAID_OF_READING))
_people = OfKeys(lambda keys: User.objects.filter(pk__in=keys).only(*_NAMES))


def _read_working(dimensions: Iterable[Any]) -> None:
    decisive = {one.pk: _decisive(one) for one in dimensions}
    readings = {one.pk: one for one in _readings(set().union(*decisive.values()))}
    _name_readers(readings.values())
    for one in dimensions:
        one.working = working_value_of(one, [readings[key] for key in decisive[one.pk] if key in readings])


def _name_readers(readings: Iterable[Measurement]) -> None:
    """Few persons read much: each is read once, and not beside every reading."""
    person: Any = Measurement._meta.get_field("person")
    named = {one.pk: one for one in _people({reading.person_id for reading in readings})}
    for reading in readings:
        person.set_cached_value(reading, named[reading.person_id])


def readings_shown(dimension: Any, newest: int) -> tuple[list[Measurement], bool]:
    """The newest readings of a dimension, and of the older ones those that decide; deleted ones too, the latest first.

    And whether there are others. `dimension` is one of `dimensions_with_working`. Two of all the readings contradict
    each other only where two of these do; of few readings these are all.
    """
    order = ("-measured_on", "-pk")
    keys = list(dimension.measurements.order_by(*order).values_list("pk", flat=True)[: newest + 1])
    shown = Measurement.objects.filter(pk__in={*keys[:newest], *_decisive(dimension)}).order_by(*order)
    return list(shown.select_related("person", "specimen", "deleted_by")), len(keys) > newest


def disputed_dimensions() -> list[Dimension]:
    """Dimensions whose current readings contradict each other, the latest read first; two queries.

    The database leaves out those of whose readings any two have a value in common: of years of readings few are read.
    """
    current = Q(measurements__deleted_at=None)
    value, tolerance = F("measurements__value"), F("measurements__tolerance")
    may_contradict = Dimension.objects.annotate(
        highest_from=Max(value - tolerance, filter=current),
        lowest_to=Min(value + tolerance, filter=current),
        latest=Max("measurements__recorded_at"),
    ).filter(highest_from__gt=F("lowest_to"))
    found = dimensions_with_readings(may_contradict.order_by("-latest"))
    return [dimension for dimension in found if disagreements(dimension.measurements.all())]


def working_values(keys: Iterable[int]) -> dict[int, WorkingValue]:
    """The working value of each dimension of these keys that has one, in two queries."""
    found = dimensions_with_readings(Dimension.objects.filter(pk__in=set(keys)))
    values = ((dimension.pk, working_value(dimension)) for dimension in found)
    return {key: value for key, value in values if value is not None}


def usual_values(dimension: Dimension) -> list[float]:
    """What a new reading may be held against: the standing readings, or the middle of the limits where none is."""
    values = [reading.value for reading in active(dimension.measurements.all())]
    limits = [limit for limit in (dimension.lower_limit, dimension.upper_limit) if limit is not None]
    return values or ([sum(limits) / len(limits)] if limits else [])


def newer_pattern(path: str) -> Subquery:
    """The key of the newest pattern that was measured of the same face after the one at a path; None where none was.

    What was only moved to another datum was not measured again.
    """
    face = {"component": OuterRef(f"{path}__component"), "face": OuterRef(f"{path}__face")}
    later = Q(measured_on__gt=OuterRef(f"{path}__measured_on"))
    later |= Q(measured_on=OuterRef(f"{path}__measured_on"), pk__gt=OuterRef(path))
    measured = HolePattern.objects.active().exclude(method=HolePattern.Method.MOVED).filter(later, **face)
    return Subquery(measured.order_by("-measured_on", "-pk").values("pk")[:1])


def patterns_in_full() -> QuerySet[HolePattern]:
    """Hole patterns with their holes and everybody named on their page."""
    related = ("component", "specimen", "person", "deleted_by", "derived_from__component")
    return HolePattern.objects.select_related(*related).prefetch_related("holes")


def features_in_full() -> QuerySet[MatingFeature]:
    """Mating features with the readings behind their sizes: the same queries for any number."""
    return MatingFeature.objects.select_related("component", "pattern", "deleted_by").prefetch_related(
        Prefetch("sizes__dimension", dimensions_with_readings())
    )


def component_in_full(components: QuerySet[Component] | None = None) -> QuerySet[Component]:
    """Components with everything that their page shows."""
    queryset = Component.objects.all() if components is None else components
    return queryset.prefetch_related(
        "specimens",
        Prefetch("dimensions", dimensions_with_readings()),
        Prefetch("hole_patterns", HolePattern.objects.select_related("person", "specimen").prefetch_related("holes")),
        Prefetch("mating_features__sizes__dimension", dimensions_with_readings()),
        "torque_specs",
    )
