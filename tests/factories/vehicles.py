"""Plain customers, vehicles and fitted pieces for tests; every argument may be changed."""

from __future__ import annotations

from typing import Any

from shop.vehicles.models import Customer, Fitted, Vehicle
from tests.factories.measuring import make_specimen


def make_customer(**changes: Any) -> Customer:
    return Customer.objects.create(**{"name": "Ottoline Brask", **changes})


def make_vehicle(**changes: Any) -> Vehicle:
    customer = changes.pop("customer", None) or make_customer()
    usual = {"maker": "Brightwell", "model": "Tarn", "year": 1974, "registration": "KX 471-B"}
    return Vehicle.objects.create(customer=customer, **{**usual, **changes})


def make_fitted(**changes: Any) -> Fitted:
    vehicle = changes.pop("vehicle", None) or make_vehicle()
    specimen = changes.pop("specimen", None) or make_specimen()
    return Fitted.objects.create(vehicle=vehicle, specimen=specimen, **{"place": "gearbox", **changes})
