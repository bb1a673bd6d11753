"""What of this room rests on a customer or a vehicle."""

from django.utils.translation import gettext

from shop.base.dependents import Rests, named
from shop.vehicles.models import Customer, Vehicle

RESTS = [
    Rests(Customer, lambda customer: named(gettext("Vehicles, to be deleted first"), customer.vehicles.active()), True),
    Rests(Vehicle, lambda vehicle: named(gettext("Fitted in it"), vehicle.fitted.in_now().with_component())),
]
