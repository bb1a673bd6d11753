"""Which part a number means: ours, this supplier's, the maker's, another supplier's; and which part a need asks for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db.models import Q, QuerySet
from django.db.models.functions import Lower
from django.utils.translation import gettext

from shop.orders.models import SupplierNumber
from shop.stock.models import Part


@dataclass(frozen=True)
class FoundPart:
    """The part that a number means, or in words why none or not one."""

    part: Part | None
    error: str = ""


def find_parts(numbers: Iterable[str], supplier: int | None = None) -> dict[str, FoundPart]:
    """Look up typed numbers at once, each in capitals or not; our own number counts before all others.

    `supplier`: whose numbers count before the maker's and other suppliers'.
    """
    asked = {number.strip().lower() for number in numbers if number.strip()}
    tiers = _tiers(asked, supplier) if asked else ()
    return {number: _one_of(number, tiers) for number in asked}


def _one_of(number: str, tiers: Iterable[dict[str, list[Part]]]) -> FoundPart:
    for tier in tiers:
        found = {part.pk: part for part in tier.get(number, ())}
        if len(found) == 1:
            return FoundPart(next(iter(found.values())))
        if found:
            named = ", ".join(str(part) for part in found.values())
            return FoundPart(
                None, gettext("“{number}” may be {named}: type our own number.").format(number=number, named=named)
            )
    return FoundPart(
        None,
        gettext("No part has the number “{number}”. Describe it in words, or add the part first.").format(
            number=number
        ),
    )


def _tiers(asked: set[str], supplier: int | None) -> list[dict[str, list[Part]]]:
    ours: dict[str, list[Part]] = defaultdict(list)
    makers: dict[str, list[Part]] = defaultdict(list)
    theirs: dict[str, list[Part]] = defaultdict(list)
    others: dict[str, list[Part]] = defaultdict(list)
    for part in _named(Part.objects.active(), asked, "number", "maker_number"):
        ours[part.number.lower()].append(part)
        makers[part.maker_number.lower()].append(part)
    rows = SupplierNumber.objects.active().filter(part__deleted_at=None).select_related("part")
    for row in _named(rows, asked, "number"):
        (theirs if row.supplier_id == supplier else others)[row.number.lower()].append(row.part)
    return [ours, theirs, makers, others]


def _named(rows: QuerySet, asked: set[str], *fields: str) -> QuerySet:
    """Rows with one of the words in one of the fields."""
    small = {f"small_{field}": Lower(field) for field in fields}
    said = Q()
    for name in small:
        said |= Q(**{f"{name}__in": asked})
    return rows.annotate(**small).filter(said)


def parts_of_needs(needs: Iterable[Any]) -> dict[int, Part]:
    """Return the part that each need asks for, by its key: the one part of its component, or of its very words.

    A need that several parts could be is left to whoever orders.
    """
    needs = list(needs)
    components = {need.component_id for need in needs if need.component_id}
    words = {need.text.strip().lower() for need in needs if need.text}
    found: dict[Any, list[Part]] = defaultdict(list)
    rows = Part.objects.active().annotate(small_name=Lower("name"), small_number=Lower("number")).with_stock()
    for part in rows.filter(Q(component__in=components) | Q(small_name__in=words) | Q(small_number__in=words)):
        found[part.component_id].append(part)
        for name in {part.name.lower(), part.number.lower()}:
            found[name].append(part)
    keys = {need.pk: need.component_id or need.text.strip().lower() for need in needs}
    return {pk: found[key][0] for pk, key in keys.items() if len(found[key]) == 1}
