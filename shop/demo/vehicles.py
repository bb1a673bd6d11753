"""Three invented customers with their vehicles, and the pieces in them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.utils import timezone

from shop.vehicles.changes import fit, save_customer, save_vehicle
from shop.vehicles.models import Customer, Vehicle
from specs.models import Component, Specimen

if TYPE_CHECKING:
    from shop.demo.world import World

CUSTOMERS = {
    "brask": {
        "name": "Ottoline Brask",
        "phone": "+44 1632 960 201",
        "email": "ottoline@brask.example",
        "address": "4 Weir Cottages\nLower Tarnbeck",
        "notes": "Tows a horse box. Prefers a call after six.",
    },
    "amsel": {"name": "Cedric Amsel", "phone": "+44 1632 960 218", "email": "cedric.amsel@amsel.example"},
    "removals": {
        "name": "Fennimore Removals",
        "phone": "+44 1632 960 233",
        "email": "yard@fennimore-removals.example",
        "address": "Unit 9, Old Maltings\nHarrow Sands",
        "notes": "Ask for the yard, not the office.",
    },
    "roake": {"name": "Della Roake", "phone": "+44 1632 960 251", "address": "7 Sluice Street\nPellworth PW4 1NE"},
}

VEHICLES = {
    "tarn": (
        "brask",
        {
            "maker": "Brightwell",
            "model": "Tarn estate",
            "year": 1974,
            "registration": "KX 471-B",
            "vin": "BW74-00113",
            "notes": "Orvane V6 fitted here two years ago behind the old four-speed.",
        },
    ),
    "veldra": (
        "amsel",
        {
            "maker": "Kasteel Auto",
            "model": "Veldra 2.8",
            "year": 1991,
            "registration": "R 208 VLD",
            "vin": "KAS0V28A1M1020887",
            "notes": "Automatic from new; the customer wants a pedal.",
        },
    ),
    "carter": (
        "removals",
        {"maker": "Marrowby", "model": "Withy 30 van", "year": 1968, "registration": "MB 30-77", "vin": "MW30/2214"},
    ),
    "pip": ("roake", {"maker": "Hartmoor", "model": "Pip 1200", "year": 1972, "registration": "HM 12-08"}),
}

# vehicle, component, mark, place, days ago that it went in (None: came with the vehicle)
PIECES = (
    ("tarn", "V6-30", "OV-4471", "engine", 730),
    ("tarn", "A-373", "tag 3.73", "rear axle", None),
    ("tarn", "P-88 two-joint shaft", "PS-14", "propshaft", None),
    ("carter", "V6-30", "OV-5120", "engine", 64),
    ("carter", "GM-02 gearbox mount", "GM-02/1", "gearbox mount", 9),
)


def make(world: World) -> None:
    """Record the customers, their vehicles and what is fitted."""
    hedda = world.people["hedda"]
    customers = {key: save_customer(Customer(**told), person=hedda) for key, told in CUSTOMERS.items()}
    for key, (owner, told) in VEHICLES.items():
        world.made[key] = save_vehicle(Vehicle(customer=customers[owner], **told), person=hedda)
    for key, component, mark, place, days_ago in PIECES:
        since = world.day(-days_ago) if days_ago is not None else None
        fit(
            vehicle=world.made[key],
            specimen=piece(component, mark),
            place=place,
            since=since,
            person=hedda,
            today=world.today,
            now=timezone.now(),
        )


def piece(component: str, mark: str) -> Specimen:
    """The demo's piece of a component with this mark, on record or put there."""
    found, _ = Specimen.objects.get_or_create(component=Component.objects.get(name=component), mark=mark)
    return found
