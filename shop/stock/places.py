"""Where pieces of a part lie: at its usual place, and at others that a movement names.

A movement without a place is of the usual one, so that whoever has one place for each part never says it, and giving
that place another name moves nothing.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from decimal import Decimal

from django.utils.translation import gettext

from shop.base.written import count
from shop.stock.models import Part

USUAL = ""
Lying = Mapping[str, Decimal]
"""How many lie at each place of a part, the usual one first."""


def lying(part: Part) -> Lying:
    """Return what lies where, of a part read `with_stock().with_places()`: places at which something lies, or is owed.

    With nothing anywhere, 0 at the usual place.
    """
    others: dict[str, Decimal] = defaultdict(Decimal)
    for moved in part.placed:
        others[own_place(part, moved.place)] += moved.quantity
    others.pop(USUAL, None)
    found = {place: number for place, number in sorted(others.items()) if number}
    usual = part.on_shelf - sum(found.values(), Decimal(0))
    return {USUAL: usual, **found} if usual or not found else found


def own_place(part: Part, typed: str) -> str:
    """Return how a typed place is kept: "" for the usual one, another in the spelling of its first movement."""
    typed = typed.strip()
    if not typed or typed.lower() == part.place.lower():
        return USUAL
    return next((one.place for one in part.placed if one.place.lower() == typed.lower()), typed)


def place_to(part: Part, typed: str) -> str:
    """Return how a place is kept that pieces are moved to; the usual one may be called so, named or not."""
    return USUAL if typed.strip().lower() == place_words(part, USUAL).lower() else own_place(part, typed)


def place_words(part: Part, place: str) -> str:
    """Say a place: its name, or that it is the usual one."""
    return place or part.place or gettext("the usual place")


def say_places(part: Part, of: Lying) -> str:
    """Say what lies where: "5 in bin B3, 2 in rack 2"."""
    said = gettext("{count} in {place}")
    return ", ".join(said.format(count=count(each), place=place_words(part, place)) for place, each in of.items())
