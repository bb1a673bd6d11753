"""A late line that a job waits for."""

from datetime import timedelta
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.planning.links import make_link
from tests.factories.jobs import make_part_need
from tests.factories.orders import make_line, make_order


def examples(people: dict[str, User]) -> dict[str, Any]:
    today = timezone.localdate()
    order = make_order(ordered_on=today - timedelta(days=60))
    line = make_line(order=order, part_need=make_part_need(), promised=today - timedelta(days=9))
    secret = make_link(person=people["buyer"], now=timezone.now())
    return {"planning:wait-or-buy": {"pk": line.pk}, "planning:calendar": {"secret": secret}}
