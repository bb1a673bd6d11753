"""What of this room rests on a supplier, a job or a vehicle that somebody is about to delete, in words."""

from typing import Any

from django.utils.translation import gettext

from shop.base.dependents import Resting, Rests, named
from shop.jobs.models import Job
from shop.orders.models import Supplier
from shop.vehicles.models import Vehicle


def _kept_with(owner: Any) -> list[Resting]:
    return named(gettext("Documents kept with it"), owner.attachments.active())


RESTS = [Rests(model, _kept_with) for model in (Supplier, Job, Vehicle)]
