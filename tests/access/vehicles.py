from typing import Any

from django.contrib.auth.models import User

from tests.factories.vehicles import make_fitted


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    """Values for the parts of this area's addresses."""
    fitted = make_fitted()
    vehicle, customer, piece = ({"pk": found.pk} for found in (fitted.vehicle, fitted.vehicle.customer, fitted))
    return {
        **{f"vehicles:{name}": vehicle for name in ("vehicle", "vehicle-change", "vehicle-withdraw", "fit")},
        **{f"vehicles:{name}": customer for name in ("customer", "customer-change", "customer-withdraw")},
        **{f"vehicles:{name}": piece for name in ("take-out", "fitted-withdraw")},
    }
