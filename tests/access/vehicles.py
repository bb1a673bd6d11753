"""Records for the addresses of vehicles and customers."""

from typing import Any

from django.contrib.auth.models import User

from tests.factories.vehicles import make_fitted


def examples(people: dict[str, User]) -> dict[str, Any]:
    fitted = make_fitted()
    return {
        "vehicles/": fitted.vehicle,
        "vehicles/customers/": fitted.vehicle.customer,
        "vehicles/fitted/": fitted,
    }
