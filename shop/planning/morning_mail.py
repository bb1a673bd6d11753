"""The morning's mail: who gets one, and that it is one a day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from django.contrib.auth.models import User
from django.db import transaction
from django.utils import timezone

from shop.orders.models import Mail
from shop.orders.outbox import put_in_outbox
from shop.planning.digest import digest_of
from shop.planning.models import MorningMail

MORNING_HOUR = 6


def write_morning_mail(now: datetime) -> int:
    """Put this morning's mail into the outbox for all who want it and have anything to read; return how many.

    May be called at any hour, as often as one likes: of a person and a day of the shop's own calendar there is only
    one, so a clock that is put back writes none twice, and one put forward skips none.
    """
    local = timezone.localtime(now)
    if local.hour < MORNING_HOUR:
        return 0
    return sum(_write(person, local.date()) for person in _readers())


def _readers() -> Sequence[User]:
    unwanted = MorningMail.objects.filter(wanted=False).values("person")
    return list(User.objects.filter(is_active=True).exclude(email="").exclude(pk__in=unwanted).order_by("pk"))


def _write(person: User, today: date) -> bool:
    occasion = f"morning of {person.pk}, {today.isoformat()}"
    if Mail.objects.filter(occasion=occasion).exists():
        return False
    digest = digest_of(person, today)  # takes a while, and holds no lock
    if not digest.subject:
        return False
    with transaction.atomic():
        if Mail.objects.filter(occasion=occasion).exists():
            return False
        put_in_outbox(to=person.email, subject=digest.subject, body=digest.body, person=None, occasion=occasion)
    return True
