"""Draw the forecast of the shop and keep what it came to, for the pages to show (`outlook`)."""

from __future__ import annotations

from datetime import date, datetime
from typing import Any

from django.db import transaction

from shop.jobs.standing import every_job
from shop.planning.inputs import ShopForecast, read_shop
from shop.planning.late import DRAWS, days_if_here, days_if_sooner
from shop.planning.models import KeptForecast


def draw_where_it_moved(today: date, now: datetime) -> bool:
    """Draw the forecast of today's facts where it is not kept; whether it was drawn."""
    return keep_forecast(read_shop(today, every=every_job(today)), now)


def keep_forecast(reading: ShopForecast, now: datetime) -> bool:
    """Draw the forecast and keep it, where that was not done; whether it was drawn."""
    if KeptForecast.objects.filter(fingerprint=reading.fingerprint).exists():
        return False
    result = plain(reading)
    with transaction.atomic():
        kept, _ = KeptForecast.objects.get_or_create(
            fingerprint=reading.fingerprint, defaults={"result": result, "made_at": now}
        )
        KeptForecast.objects.exclude(pk=kept.pk).delete()
    return True


def plain(reading: ShopForecast) -> dict[str, Any]:
    """What the forecast came to, in values that JSON has; read by `outlook`."""
    finishes = [
        [
            one.vehicle,
            *(on and on.isoformat() for on in (one.p50, one.p80, one.known_to)),
            one.known_percent,
            [[decider.kind, decider.key, decider.share] for decider in one.deciders],
        ]
        for one in reading.forecast.finishes.values()
    ]
    return {
        "finishes": finishes,
        "sooner": list(days_if_sooner(reading).items()),
        "delays": [[need, *cost] for need, cost in days_if_here(reading.drawn(DRAWS)).items()],
        "jobs": reading.fingerprints,
    }
