from collections.abc import Iterator
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.base.long_work import LongKind, WorkProgress
from shop.demo.sample import SAMPLE_WORK, take_in

RESULT = "The sample data is in: three vehicles with their jobs, orders and components."


def run(given: dict[str, Any], person: User) -> Iterator[WorkProgress]:
    """Bring the sample data in, in one transaction: there is nothing to tell until it is done."""
    take_in(person=person, today=timezone.localdate())
    yield WorkProgress(1, 1, RESULT)


LONG_WORK = [
    LongKind(
        SAMPLE_WORK,
        run,
        "people.manage",
        leads_to="home:today",
        silent=600,
        note="It takes a minute or two, and nobody else can save meanwhile.",
    )
]
