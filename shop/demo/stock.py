"""Parts that the invented workshop keeps on its shelf, with the numbers of those who sell them."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from django.contrib.auth.models import User

from shop.orders import price_changes
from shop.orders.models import Supplier, SupplierNumber
from shop.stock import changes
from shop.stock.models import Part

# Name, supplier and their number, counted in, in a pack, the least to keep, where, how many were counted today.
PARTS = (
    ("flywheel bolts M10×1.25 10.9, set of 8", "Quarry Lane Fasteners", "QL 1025-8", "set", 1, 2, "drawer 4", 1),
    ("dowels 12 m6, pair", "Quarry Lane Fasteners", "QL 12-M6", "pair", 5, 4, "drawer 5", 6),
    ("studs M10, set", "Quarry Lane Fasteners", "QL S10", "set", 1, 0, "drawer 4", 2),
    ("slave cylinder", "Pellworth Hydraulics", "PH-7130", "piece", 1, 0, "shelf B2", 1),
    ("braided hose, 900 mm", "Pellworth Hydraulics", "PH-H900", "piece", 1, 2, "shelf B3", 2),
    ("release bearing", "Ferrant Driveline Supply", "FD 5820", "piece", 1, 0, "shelf A1", 0),
)


def make_parts(suppliers: dict[str, Supplier], *, person: User) -> dict[str, Part]:
    """Write the parts and who has them; by name."""
    made = {}
    for name, seller, number, unit, pack, least, place, _ in PARTS:
        kept = {"unit": unit, "pack": Decimal(pack), "minimum": Decimal(least), "place": place}
        made[name] = changes.save_part(Part(number="", name=name, **kept), person=person)
        theirs = SupplierNumber(part=made[name], supplier=suppliers[seller], number=number)
        price_changes.save_number(theirs, person=person)
    return made


def count_parts(parts: dict[str, Part], *, person: User, today: date) -> None:
    """Count the shelf: the past orders brought more than is left of them."""
    for name, *_, counted in PARTS:
        seen = Part.objects.with_stock().get(pk=parts[name].pk).on_shelf
        changes.count_shelf(
            parts[name],
            counted=Decimal(counted),
            seen=seen,
            on=today,
            reason="used on earlier vehicles, before the shelf was counted",
            person=person,
            today=today,
        )
