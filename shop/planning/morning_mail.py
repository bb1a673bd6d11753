"""The morning's mail: who gets one, once a day, with what waits for their word, fell, is late or is ready.

Each entry is a line of text that says what it holds up, and its address on a line of its own.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.db import transaction
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext, ngettext

from shop.base.roles import OWNER, may, roles_of
from shop.jobs.models import Decision, Job, StepNeed
from shop.jobs.network import Network
from shop.jobs.rules import in_order
from shop.jobs.standing import every_job
from shop.orders.assigned import lines_of, to_ask
from shop.orders.held_up import Held, holds
from shop.orders.letter_days import weekday_of
from shop.orders.models import Chase, Mail, OrderLine
from shop.orders.outbox import put_in_outbox
from shop.orders.rules import is_overdue
from shop.orders.text import awaited_words, day
from shop.people.models import preferences_of
from shop.planning.inputs import read_shop
from shop.planning.late import late_today
from shop.planning.models import MorningMail
from shop.planning.ready import ready_jobs
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.text import status_text
from shop.worksheets.today import changed_since_accepted
from specs.written import written_as


@dataclass(frozen=True)
class Digest:
    """What one person should know on a day, by section."""

    name: str = ""
    day: str = ""
    decide: Sequence[str] = ()
    again: Sequence[str] = ()
    refused: Sequence[str] = ()
    late: Sequence[str] = ()
    undated: Sequence[str] = ()
    ask: Sequence[str] = ()
    changed: Sequence[str] = ()
    ready: Sequence[str] = ()

    @property
    def subject(self) -> str:
        """What there is of each kind, counted; empty where there is nothing at all."""
        counted = [
            _counted(gettext("{number} to decide"), self.decide),
            _counted(gettext("{number} to check again"), self.again),
            _counted(ngettext("{number} letter refused", "{number} letters refused", len(self.refused)), self.refused),
            _counted(ngettext("{number} late line", "{number} late lines", len(self.late)), self.late),
            _counted(gettext("{number} never dated"), self.undated),
            _counted(gettext("{number} to ask"), self.ask),
            _counted(
                ngettext("{number} worksheet changed", "{number} worksheets changed", len(self.changed)), self.changed
            ),
            _counted(ngettext("{number} step ready", "{number} steps ready", len(self.ready)), self.ready),
        ]
        return ", ".join(words for words in counted if words)

    @property
    def body(self) -> str:
        parts = (
            (gettext("To decide"), self.decide),
            (gettext("Check again"), self.again),
            (gettext("Letters that did not arrive"), self.refused),
            (gettext("Late"), self.late),
            (gettext("Never confirmed, or never dated"), self.undated),
            (gettext("Ask again"), self.ask),
            (gettext("Changed since accepted"), self.changed),
            (gettext("Ready for you"), self.ready),
        )
        sections = [_section(title, lines) for title, lines in parts if lines]
        off = gettext("You can turn this mail off on your own page{at}").format(at=_at(reverse("planning:notices")))
        return (
            "\n\n".join(
                [
                    gettext("Good morning {name}. This is for {day}.").format(name=self.name, day=self.day),
                    *sections,
                    off,
                ]
            )
            + "\n"
        )


def _counted(said: str, lines: Sequence[str]) -> str:
    return said.format(number=len(lines)) if lines else ""


def _section(title: str, lines: Sequence[str]) -> str:
    return f"{title} {len(lines)}\n" + "\n".join(f"- {line}" for line in lines)


def digest_of(person: User, today: date) -> Digest:
    """Read what concerns a person today: of the owner everything, of the others what is theirs."""
    every, roles = every_job(today), roles_of(person)
    mine = set(lines_of(person).to_ask_about(today).values_list("pk", flat=True))
    lines, held = late_today(today, every, read_shop) if mine else ([], {})
    asked = [line for line in lines if line.pk in mine]
    late = [line for line in asked if is_overdue(line.as_rule(), today)]
    ready = ready_jobs(today, person, roles, every)
    return Digest(
        name=person.first_name or person.username,
        day=weekday_of(today),
        decide=list(_decisions(person)),
        again=list(_again(person, today)),
        refused=[_refused(mail) for mail in _refused_mail(person)] if may(person, "orders.chase") else [],
        late=[_late(line, held.get(line.pk), today) for line in late],
        undated=[_late(line, held.get(line.pk), today) for line in asked if line not in late],
        ask=list(_asks(person, today, every.networks)) if may(person, "orders.chase") else [],
        changed=[_changed(state) for state in changed_since_accepted(today) if _concerns(state, person)],
        ready=[
            f"{one.job.vehicle}: {step.step}.{_holds_steps(every.networks[one.job.pk], step.step.pk)}{_link(step.step)}"
            for one in ready
            for step in one.ready
        ],
    )


def _decisions(person: User) -> Iterator[str]:
    """The questions that wait for this person's word, with the steps that wait for the answer."""
    if not may(person, "jobs.decide"):
        return
    found = Decision.objects.active().answered_by(person).filter(decided_at=None, job__deleted_at=None)
    needs = StepNeed.objects.active().filter(decision__in=found, step__deleted_at=None).select_related("step")
    waiting: dict[int, list[str]] = {}
    for need in needs.order_by("step__position"):
        waiting.setdefault(need.decision_id or 0, []).append(str(need.step))
    for one in found.select_related("job__vehicle").order_by("job", "pk"):
        at = _at(reverse("jobs:decision-make", args=[one.pk]))
        yield f"{one.job.vehicle}: {one.question}{_holds_up(waiting.get(one.pk, []))}{at}"


def _again(person: User, today: date) -> Iterator[str]:
    """Finished steps that no longer count as done, of everyone for the owner, else those this person finished."""
    found, everyones = every_job(today), OWNER in roles_of(person)
    jobs = {job.pk: job for job in Job.objects.filter(pk__in=found.points).select_related("vehicle")}
    told: set[int] = set()
    for key, points in found.points.items():
        for step, words in ((point.step, point.words) for point in points if point.step):
            if step.pk not in told and (everyones or person.pk in (step.finished_by_id, step.person_id)):
                told.add(step.pk)
                waits = _holds_steps(found.networks[key], step.pk) if key in found.networks else ""
                yield f"{jobs[key].vehicle}: {step}: {words.rstrip('.')}.{waits}{_link(step)}"


def _late(line: OrderLine, held: Held | None, today: date) -> str:
    """What is late, what it holds up of which vehicle, and where it is told."""
    said = gettext("{awaited_words} (order {order}, {supplier})").format(
        awaited_words=awaited_words(line.as_rule(), today), order=line.order, supplier=line.order.supplier
    )
    return f"{said}{_held_words(held)}{_link(line)}"


def _held_words(held: Held | None) -> str:
    if held is None:
        return gettext(". Holds up nothing today")
    return gettext(". Holds up {words} of {vehicle}").format(words=held.words, vehicle=held.job.vehicle)


def _refused_mail(person: User) -> list[Mail]:
    """Letters to suppliers that were refused for good: the person's own; all of them for the owner."""
    rows = Mail.objects.filter(state=Mail.REFUSED).exclude(chase=None).select_related("chase__order__supplier")
    rows = rows if OWNER in roles_of(person) else rows.filter(written_by=person)
    return list(rows.order_by("written_at", "pk"))


def _refused(mail: Mail) -> str:
    order = mail.chase.order  # type: ignore[union-attr]
    at = _at(reverse("orders:message", args=[mail.pk]))
    return gettext("{subject} to {to} ({supplier}, order {order}): {trouble}{at}").format(
        subject=mail.subject, to=mail.to, supplier=order.supplier, order=order, trouble=mail.trouble, at=at
    )


def _asks(person: User, today: date, known: Mapping[int, Network]) -> Iterator[str]:
    """Whom to ask again, what they said last time, and what hangs on the order."""
    chases = list(to_ask(person, today))
    lines = OrderLine.objects.to_come().filter(order__in=[chase.order_id for chase in chases]).with_story()
    of_order: dict[int, list[OrderLine]] = {}
    for line in lines:
        of_order.setdefault(line.order_id, []).append(line)
    held = holds([line for those in of_order.values() for line in those], today, known)
    for chase in chases:
        found = [held[line.pk] for line in of_order.get(chase.order_id, ()) if line.pk in held]
        worst = max(found, key=lambda one: len(one.steps), default=None)
        yield f"{_ask(chase, today)}{_held_words(worst)}{_link(chase.order)}"


def _ask(chase: Chase, today: date) -> str:
    said = gettext("; they said “{answer}”").format(answer=chase.answer) if chase.answer else ""
    due = day(chase.ask_again_on or today, today)
    return gettext("{supplier} about order {order}, due {due}{said}").format(
        supplier=chase.order.supplier, order=chase.order, due=due, said=said
    )


def _concerns(state: EvaluatedWorksheet, person: User) -> bool:
    """Whether a worksheet that moved is this person's affair: the owner's, and of whoever accepted it."""
    return OWNER in roles_of(person) or bool(state.accepted and state.accepted.person_id == person.pk)


def _changed(state: EvaluatedWorksheet) -> str:
    """What moved first, and the vehicles whose jobs rest on it."""
    causes = status_text(state).causes
    more = gettext(" and {causes} more").format(causes=len(causes) - 1) if len(causes) > 1 else ""
    why = f": {causes[0].label}{more}" if causes else ""
    jobs = [str(job.vehicle) for job in state.worksheet.jobs.all() if not job.is_deleted]
    named = ", ".join(dict.fromkeys(jobs))
    rests = gettext("Rests on it: {jobs}").format(jobs=named) if jobs else gettext("No job rests on it")
    return f"{state.worksheet.title}{why}. {rests}{_link(state.worksheet)}"


def _holds_steps(network: Network, key: Hashable) -> str:
    """What cannot be done before this step is: the first of them, and how many come after it."""
    behind: set[Hashable] = {key}
    titles: list[str] = []
    for step in in_order(network.steps):
        if behind.intersection(step.after) and not step.done and step.key not in behind:
            behind.add(step.key)
            titles.append(step.title)
    return _holds_up(titles)


def _holds_up(titles: Sequence[str]) -> str:
    if not titles:
        return ""
    more = len(titles) - 1
    if not more:
        return gettext(" Holds up “{titles}”.").format(titles=titles[0])
    said = ngettext(" Holds up “{titles}” and {more} more step.", " Holds up “{titles}” and {more} more steps.", more)
    return said.format(titles=titles[0], more=more)


def _link(record: Any) -> str:
    return _at(record.get_absolute_url())


def _at(path: str) -> str:
    """An address on a line of its own; nothing where the shop has none that a mail could lead to."""
    return f"\n  {settings.SHOP_ADDRESS}{path}" if settings.SHOP_ADDRESS else ""


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
    occasion = gettext("morning of {pk}, {isoformat}").format(pk=person.pk, isoformat=today.isoformat())
    if Mail.objects.filter(occasion=occasion).exists():
        return False
    with written_as(preferences_of(person).written):
        digest = digest_of(person, today)  # takes a while, and holds no lock
        subject, body = digest.subject, digest.body
    if not subject:
        return False
    with transaction.atomic():
        if Mail.objects.filter(occasion=occasion).exists():
            return False
        put_in_outbox(to=person.email, subject=subject, body=body, person=None, occasion=occasion)
    return True
