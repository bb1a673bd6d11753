"""Records for the addresses of the first pages."""

from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.base.models import BulkChange, InterruptedForm, LongWork
from shop.base.records import delete_record
from tests.factories.vehicles import make_vehicle


def examples(people: dict[str, User]) -> dict[str, Any]:
    vehicle = delete_record(make_vehicle(), person=people["owner"], reason="recorded twice", now=timezone.now())
    form = InterruptedForm.objects.create(person=people["owner"], address="/", sent={}, sent_at=timezone.now())
    work = LongWork.objects.create(
        kind="demo.sample", title="Adding", person=people["owner"], asked_at=timezone.now(), beat_at=timezone.now()
    )
    change = BulkChange.objects.create(
        of="jobs.step", act="assign", words="Assign", came_from="/", person=people["owner"], at=timezone.now()
    )
    return {
        "home:bulk-change": {"pk": change.pk},
        "home:bulk-undo": {"pk": change.pk},
        "home:bulk-new": {"name": "jobs.step"},
        "home:setup-skip": {"name": "people"},
        "home:long-work": {"pk": work.pk},
        "home:interrupted": {"pk": form.pk},
        "home:help-topic": {"name": "jobs"},
        "home:undo": {"label": "vehicles.vehicle", "pk": vehicle.pk},
    }
