"""A small shop for the tests of planning: a vehicle that waits for a late part, and suppliers with a past."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from types import SimpleNamespace
from typing import Any

from django.utils import timezone

from tests.factories.jobs import make_job, make_part_need, make_step, make_step_need
from tests.factories.orders import make_delivery, make_line, make_order, make_supplier
from tests.factories.vehicles import make_vehicle


def in_days(offset: int) -> Any:
    return timezone.localdate() + timedelta(days=offset)


def make_past(supplier: Any, *days_late: int) -> None:
    """Orders of that supplier, all here, each so many days after its first promise."""
    for late in days_late:
        line = make_line(order=make_order(supplier=supplier, ordered_on=in_days(-300)), promised=in_days(-250))
        make_delivery(line=line, on=in_days(-250 + late))


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
