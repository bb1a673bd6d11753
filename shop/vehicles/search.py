from collections.abc import Iterable

from shop.base.language import gettext_lazy
from shop.base.search import Searched
from shop.vehicles.models import Customer, Vehicle


def _vehicle_words(vehicle: Vehicle) -> tuple[str, ...]:
    return (vehicle.maker, vehicle.model, str(vehicle.year or ""), vehicle.customer.name, vehicle.notes)


def _vehicles_of(customer: Customer) -> Iterable[int]:
    return customer.vehicles.values_list("pk", flat=True)


SEARCHED = [
    Searched(
        gettext_lazy("Vehicle"),
        10,
        Vehicle,
        words=_vehicle_words,
        numbers=lambda vehicle: (vehicle.registration, vehicle.vin),
        note=lambda vehicle: str(vehicle.customer),
        read=lambda rows: rows.select_related("customer"),
        told_by=((Customer, _vehicles_of),),
    ),
    Searched(
        gettext_lazy("Customer"),
        50,
        Customer,
        words=lambda customer: (customer.email, customer.address, customer.notes),
        numbers=lambda customer: (customer.phone,),
        note=lambda customer: customer.phone or customer.email,
    ),
]
