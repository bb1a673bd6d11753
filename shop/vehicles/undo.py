from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.undo import Undo
from shop.vehicles.models import Customer, Fitted, Vehicle


def _refuse_set_aside(fitted: Fitted) -> None:
    """A piece that was set aside for a job since is not in a vehicle as well."""
    aside = fitted.specimen.set_aside.filter(deleted_at=None).select_related("job").first()
    if aside:
        raise ValidationError(
            gettext("It is set aside for “{job}” since. Remove it there first.").format(job=aside.job)
        )


UNDO = [
    Undo(Customer, "vehicles.manage"),
    Undo(Vehicle, "vehicles.manage"),
    Undo(Fitted, "vehicles.manage", check=_refuse_set_aside),
]
