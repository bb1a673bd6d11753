"""Records for the addresses of the first pages."""

from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.base.models import InterruptedForm
from shop.base.records import delete_record
from tests.factories.vehicles import make_vehicle


def examples(people: dict[str, User]) -> dict[str, Any]:
    vehicle = delete_record(make_vehicle(), person=people["owner"], reason="recorded twice", now=timezone.now())
    form = InterruptedForm.objects.create(person=people["owner"], address="/", sent={}, sent_at=timezone.now())
    return {
        "home:interrupted": {"pk": form.pk},
        "home:help-topic": {"name": "jobs"},
        "home:undo": {"label": "vehicles.vehicle", "pk": vehicle.pk},
    }
