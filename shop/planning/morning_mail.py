"""The morning's mail: each person's late lines, whom to ask, and the work that is ready."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from shop.base.roles import OWNER, may, roles_of
from shop.jobs.standing import every_job
from shop.orders.assigned import lines_of, to_ask
from shop.orders.held_up import Held
from shop.orders.models import Mail, OrderLine
from shop.orders.outbox import put_in_outbox
from shop.orders.rules import is_overdue
from shop.orders.text import awaited_words, day, plural
from shop.planning.inputs import read_shop
from shop.planning.late import late_today
from shop.planning.models import MorningMail
from shop.planning.ready import ready_jobs

MORNING_HOUR = 6


@dataclass(frozen=True)
class Digest:
    """What one person should know this morning, each entry one line of text and its address."""

    refused: Sequence[str] = ()
    late: Sequence[str] = ()
    undated: Sequence[str] = ()
    ask: Sequence[str] = ()
    ready: Sequence[str] = ()

    @property
    def subject(self) -> str:
        counted = [
            f"{plural(len(self.refused), 'letter')} refused" if self.refused else "",
            plural(len(self.late), "late line") if self.late else "",
            f"{len(self.undated)} never dated" if self.undated else "",
            f"{len(self.ask)} to ask" if self.ask else "",
            f"{plural(len(self.ready), 'step')} ready" if self.ready else "",
        ]
        return ", ".join(words for words in counted if words)

    @property
    def body(self) -> str:
        parts = (
            ("Letters that did not arrive", self.refused),
            ("Late", self.late),
            ("Never confirmed, or never dated", self.undated),
            ("Ask again", self.ask),
            ("Ready for you", self.ready),
        )
        sections = [f"{title}\n" + "\n".join(f"- {line}" for line in lines) for title, lines in parts if lines]
        return "\n\n".join(sections) + "\n\nYou can turn this mail off on your own page in the workshop.\n"


def digest_of(person: User, today: date) -> Digest:
    """Read what concerns a person today."""
    mine = set(lines_of(person).to_ask_about(today).values_list("pk", flat=True))
    lines, held = late_today(today, every_job(today), read_shop) if mine else ([], {})
    asked = [line for line in lines if line.pk in mine]
    late = [line for line in asked if is_overdue(line.as_rule(), today)]
    ready = ready_jobs(today, person, roles_of(person))
    return Digest(
        refused=[_refused(mail) for mail in _refused_mail(person)] if may(person, "orders.chase") else [],
        late=[_late(line, held.get(line.pk), today) for line in late],
        undated=[_late(line, held.get(line.pk), today) for line in asked if line not in late],
        ask=[_ask(chase, today) for chase in to_ask(person, today)] if may(person, "orders.chase") else [],
        ready=[f"{one.job.vehicle}: {step.step}{_link(step.step)}" for one in ready for step in one.ready],
    )


def _late(line: OrderLine, held: Held | None, today: date) -> str:
    """What is late, what it holds up of which vehicle, and where it is told."""
    said = f"{awaited_words(line.as_rule(), today)} (order {line.order}, {line.order.supplier})"
    holds_up = f". Holds up {held.words} of {held.job.vehicle}" if held else ". Holds up nothing today"
    return f"{said}{holds_up}{_link(line)}"


def _link(record: Any) -> str:
    """The address of a record on a line of its own; nothing where the shop has none that a mail could lead to."""
    return f"\n  {settings.SHOP_ADDRESS}{record.get_absolute_url()}" if settings.SHOP_ADDRESS else ""


def _refused_mail(person: User) -> list[Mail]:
    """Letters to suppliers that were refused for good: the person's own; all of them for the owner."""
    rows = Mail.objects.filter(state=Mail.REFUSED).exclude(chase=None).select_related("chase__order__supplier")
    rows = rows if OWNER in roles_of(person) else rows.filter(written_by=person)
    return list(rows.order_by("written_at", "pk"))


def _refused(mail: Mail) -> str:
    order = mail.chase.order  # type: ignore[union-attr]
    link = f"\n  {settings.SHOP_ADDRESS}{reverse('orders:message', args=[mail.pk])}" if settings.SHOP_ADDRESS else ""
    return f"{mail.subject} to {mail.to} ({order.supplier}, order {order}): {mail.trouble}{link}"


def _ask(chase, today: date) -> str:
    said = f"; they said “{chase.answer}”" if chase.answer else ""
    due = day(chase.ask_again_on, today)
    return f"{chase.order.supplier} about order {chase.order}, due {due}{said}{_link(chase.order)}"


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


@transaction.atomic
def _write(person: User, today: date) -> bool:
    occasion = f"morning of {person.pk}, {today.isoformat()}"
    if Mail.objects.filter(occasion=occasion).exists():
        return False
    digest = digest_of(person, today)
    if not digest.subject:
        return False
    put_in_outbox(to=person.email, subject=digest.subject, body=digest.body, person=None, occasion=occasion)
    return True
