"""Records for the addresses of suppliers' invoices."""

from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from tests.factories.orders import make_delivery, make_line
from tests.factories.payables import make_invoice


def examples(people: dict[str, User]) -> dict[str, Any]:
    return {"payables/": make_invoice(make_delivery(line=make_line(), on=timezone.localdate()))}
