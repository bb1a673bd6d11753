"""A small shop for the tests of planning: a vehicle that waits for a late part, and suppliers with a past."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from django.utils import timezone

from shop.orders.line_status import restate
from shop.orders.models import Delivery, Order, OrderLine, Promise
from tests.factories.jobs import make_job, make_part_need, make_step, make_step_need
from tests.factories.orders import make_line, make_order, make_supplier, order_number
from tests.factories.people import make_person
from tests.factories.vehicles import make_vehicle


def in_days(offset: int) -> Any:
    return timezone.localdate() + timedelta(days=offset)


def make_past(supplier: Any, *days_late: int) -> None:
    """Orders of that supplier, all here, each so many days after its first promise, written at once: no history."""
    person, ordered, promised = make_person(), in_days(-300), in_days(-250)
    known = {"supplier": supplier, "ordered_by": person, "ordered_on": ordered}
    orders = Order.objects.bulk_create(Order(number=order_number(), **known) for _ in days_late)
    owed = {"quantity": Decimal(1), "left": Decimal(1), "heard": ordered}
    kit = {"text": "clutch kit", "price": Decimal("180.00"), **owed}
    lines = OrderLine.objects.bulk_create(OrderLine(order=order, **kit) for order in orders)
    told = {"given_on": ordered, "earliest": promised, "latest": promised, "recorded_by": person}
    Promise.objects.bulk_create(Promise(line=line, **told) for line in lines)
    came = {"quantity": Decimal(1), "recorded_by": person}
    Delivery.objects.bulk_create(
        Delivery(line=line, on=in_days(-250 + late), **came) for line, late in zip(lines, days_late, strict=True)
    )
    restate(line.pk for line in lines)


def make_waiting_job(**changes: Any) -> SimpleNamespace:
    """Strip, then mount the gearbox, which needs a clutch that is late; the lamps need neither of them."""
    slow = changes.pop("slow", None) or make_supplier(name="Slow Foundry")
    job = make_job(vehicle=make_vehicle(model=changes.pop("model", "Tarn")), **changes)
    hours = {"hours_estimated": Decimal("8")}
    strip, mount, lamps = (
        make_step(job=job, title=title, **hours) for title in ("Strip", "Mount the gearbox", "Lamps")
    )
    make_step_need(mount, strip)
    need = make_part_need(step=mount, text="clutch kit")
    order = make_order(supplier=slow, ordered_on=in_days(-60))
    line = make_line(order=order, part_need=need, promised=in_days(-10))
    return SimpleNamespace(job=job, strip=strip, mount=mount, lamps=lamps, need=need, line=line, slow=slow)
