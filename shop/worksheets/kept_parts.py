"""Worksheets put together of parts that are kept apart, for they change apart.

A reading leaves the worksheets as they were, a name leaves them and what was measured: only the part that was written
is read again. Persons are named last: no verdict rests on how anybody is called.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator
from typing import Any

from django.contrib.auth.models import User
from django.db.models import Prefetch

from shop.base.roles import NAMES
from shop.base.unchanged import while_unchanged
from shop.worksheets.models import AcceptedRecord, Worksheet, WorksheetInput
from shop.worksheets.what_states_read import ELSEWHERE, hand_overs, of_sheets
from specs.models import Component, Dimension
from specs.queries import dimensions_with_readings
from specs.row_queries import read_related

Keys = tuple[int, ...]


def put_together(keys: Collection[int]) -> list[Worksheet]:
    """These worksheets, each as `for_states` fetches it, of parts that are kept; but nobody in them has a name yet."""
    sheets = _sheets(tuple(keys))
    inputs = [given for sheet in sheets for given in sheet.inputs.all()]
    measured = _measured(_keys(given.dimension_id for given in inputs))
    beside = _beside(_keys(sheet.component_id for sheet in sheets))
    for given in inputs:
        given.dimension = measured[given.dimension_id] if given.dimension_id else None
    for sheet in sheets:
        sheet.component = beside[sheet.component_id] if sheet.component_id else None
    jobs = [job for sheet in sheets for job in sheet.jobs.all()]
    read_related(jobs, "steps", lambda keys: _hand_overs(_keys(keys)))
    _give_persons(_made_by_persons(sheets), _ROLES, lambda persons: {key: User(pk=key) for key in persons})
    return sheets


def name_persons(sheets: Iterable[Worksheet]) -> None:
    """Give each record in worksheets the person who made it, and who deleted it, as they are called today."""
    _give_persons(_made_by_persons(sheets), _ROLES, _called)


def name_in_records(records: Iterable[Any], *roles: str) -> None:
    """Give each record the persons who stand in these fields of it, as they are called today: one kept question."""
    _give_persons(records, roles, _called)


_ROLES = ("person", "deleted_by")


def _give_persons(records: Iterable[Any], roles: Iterable[str], called: Callable[[Keys], dict[int, User]]) -> None:
    found = [(one, role, key) for one in records for role in roles if (key := getattr(one, f"{role}_id", None))]
    persons = called(_keys(key for *_, key in found))
    for one, role, key in found:
        setattr(one, role, persons[key])


def _made_by_persons(sheets: Iterable[Worksheet]) -> Iterator[Any]:
    for sheet in sheets:
        for given in sheet.inputs.all():
            yield given
            if given.pattern:
                yield given.pattern
            if given.dimension:
                yield from given.dimension.measurements.all()
        yield from sheet.last_accepted  # type: ignore[attr-defined]
        if sheet.component:
            yield from (reading for own in sheet.component.dimensions.all() for reading in own.measurements.all())


def _keys(found: Iterable[int | None]) -> Keys:
    return tuple(sorted({key for key in found if key}))


@while_unchanged
def _sheets(keys: Keys) -> list[Worksheet]:
    """Worksheets without their component, without what was measured, without the steps of their jobs, and without
    anybody's name."""
    parts = of_sheets(WorksheetInput.objects.all(), AcceptedRecord.objects.last_of_each())
    return list(Worksheet.objects.filter(pk__in=keys).prefetch_related(*parts))


@while_unchanged
def _measured(dimensions: Keys) -> dict[int, Dimension]:
    """What inputs take: dimensions with their readings, and where the pieces are now that were read."""
    found = dimensions_with_readings(Dimension.objects.filter(pk__in=dimensions), named=False)
    found = found.prefetch_related(Prefetch("measurements__specimen__fitted", ELSEWHERE))
    return {one.pk: one for one in found} if dimensions else {}


@while_unchanged
def _hand_overs(jobs: Keys) -> list[Any]:
    return list(hand_overs().filter(job__in=jobs))


@while_unchanged
def _beside(components: Keys) -> dict[int, Component]:
    """The components that worksheets are of, with all that was measured of them."""
    own = Prefetch("dimensions", dimensions_with_readings(named=False))
    found = Component.objects.filter(pk__in=components).prefetch_related(own)
    return {one.pk: one for one in found} if components else {}


@while_unchanged
def _called(persons: Keys) -> dict[int, User]:
    return {one.pk: one for one in User.objects.filter(pk__in=persons).only(*NAMES)} if persons else {}
