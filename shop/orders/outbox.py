"""The outbox: mail is written down with what it belongs to, then sent, and tried again until it went.

Nothing is sent twice: a message is taken in hand in one transaction before it is sent, and one that may have been sent
is never tried again by itself.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from email.utils import make_msgid
from typing import Any, cast

from django.conf import settings
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.core.mail import EmailMessage
from django.db import transaction
from django.utils.module_loading import import_string
from django.utils.translation import gettext

from shop.base.records import save_as
from shop.base.roles import require
from shop.orders.models import Chase, Mail
from shop.orders.smtp import NotTaken, PerhapsTaken

FIRST_WAIT = timedelta(minutes=2)
LONGEST_WAIT = timedelta(hours=6)
GIVEN_UP_ON = timedelta(minutes=15)
"""A message in hand for longer was left by a process that ended in the middle."""


def put_in_outbox(
    *, to: str, subject: str, body: str, person: User | None, chase: Chase | None = None, occasion: str = ""
) -> Mail:
    """Write a message down to be sent. Of one `occasion` there is only ever one. Call it inside a transaction."""
    mail = Mail(
        to=to,
        subject=" ".join(subject.split())[:200],
        body=body,
        message_id=make_msgid(domain=settings.MAIL_DOMAIN),
        occasion=occasion,
        chase=chase,
        written_by_id=person.pk if person else None,
    )
    mail.full_clean(exclude=["written_by"])
    mail.save()
    return mail


def send_due(now: datetime, limit: int = 50, **among: Any) -> dict[str, int]:
    """Try every message that is due, or only those that `among` looks up; return how many ended in each state."""
    _put_aside_left_over(now)
    ended: dict[str, int] = {}
    for key in list(
        Mail.objects.due(now).filter(**among).order_by("try_at", "pk").values_list("pk", flat=True)[:limit]
    ):
        if mail := _take(key, now):
            state = _send(mail, now)
            ended[state] = ended.get(state, 0) + 1
    return ended


def _put_aside_left_over(now: datetime) -> None:
    with transaction.atomic():
        for mail in Mail.objects.left_over(now - GIVEN_UP_ON).select_for_update():
            _end(mail, Mail.PERHAPS, gettext("the program was stopped while sending it"), now)


@transaction.atomic
def _take(key: int, now: datetime) -> Mail | None:
    """Take one message in hand; None when another process was first."""
    mail = Mail.objects.due(now).select_for_update().filter(pk=key).first()
    if mail is None:
        return None
    mail.state, mail.taken_at, mail.tries = Mail.SENDING, now, mail.tries + 1
    mail.save()
    return mail


def _send(mail: Mail, now: datetime) -> str:
    # RFC 3834: what no person wrote is marked as such, so that absence notes do not answer it.
    headers = {"Message-ID": mail.message_id, "Auto-Submitted": "no" if mail.written_by_id else "auto-generated"}
    message = EmailMessage(mail.subject, mail.body, settings.DEFAULT_FROM_EMAIL, [mail.to], headers=headers)
    try:
        _mailer().send_messages([message])
    except NotTaken as reason:
        state = Mail.REFUSED if reason.for_good else Mail.WAITING
        return _end(mail, state, str(reason), now)
    except PerhapsTaken as reason:
        return _end(mail, Mail.PERHAPS, str(reason), now)
    return _end(mail, Mail.SENT, "", now)


def _mailer() -> Any:
    """The way out that the settings name, opened alike by every Django: 5.2 knows no mailers, 6.1 no connection."""
    mailer = cast("dict[str, Any]", settings.MAILERS["default"])
    return import_string(mailer["BACKEND"])(alias="default", **mailer.get("OPTIONS", {}))


def _end(mail: Mail, state: str, trouble: str, now: datetime) -> str:
    mail.state, mail.trouble, mail.taken_at = state, trouble[:400], None
    if state == Mail.WAITING:
        mail.try_at = now + min(FIRST_WAIT * 2 ** (mail.tries - 1), LONGEST_WAIT)
    if state == Mail.SENT:
        mail.sent_at = now
    mail.save()
    return state


@transaction.atomic
def came_back(*, mail: Mail, words: str, now: datetime) -> Mail:
    """Say that a letter that was sent did not arrive: a mail server sent word of it, not a person."""
    held = Mail.objects.select_for_update().get(pk=mail.pk)
    if held.state in (Mail.SENT, Mail.PERHAPS):
        _end(held, Mail.REFUSED, gettext("came back: {words}").format(words=words), now)
    return held


@transaction.atomic
def send_again(*, mail: Mail, person: User, now: datetime) -> Mail:
    """Let a message that was refused or perhaps sent be tried once more: somebody made sure that it did not arrive."""
    require(person, "orders.chase")
    mail = Mail.objects.select_for_update().get(pk=mail.pk)
    if not mail.needs_a_person and not (mail.state == Mail.WAITING and mail.tries):
        raise ValidationError(gettext("This message is {state_words}.").format(state_words=mail.state_words))
    mail.state, mail.try_at = Mail.WAITING, now
    mail._history_user = person  # type: ignore[attr-defined]
    mail.save()
    return mail


@transaction.atomic
def correct_and_send_again(*, mail: Mail, to: str, for_supplier: bool, person: User, now: datetime) -> Mail:
    """Send a letter that did not arrive once more, to another address; `for_supplier` keeps that address for theirs."""
    mail = send_again(mail=mail, person=person, now=now)
    mail.to, mail.tries, mail.trouble = to, 0, ""
    mail.full_clean(exclude=["written_by"])
    save_as(mail, person=person)
    if for_supplier and mail.chase:
        supplier = mail.chase.order.supplier
        supplier.email = to
        save_as(supplier, person=person)
    return mail


@transaction.atomic
def drop(*, mail: Mail, person: User, now: datetime) -> Mail:
    """Let a message that was not sent rest for good; it stays readable."""
    require(person, "orders.chase")
    mail = Mail.objects.select_for_update().get(pk=mail.pk)
    if mail.state in (Mail.SENT, Mail.SENDING):
        raise ValidationError(gettext("This message is {state_words}.").format(state_words=mail.state_words))
    mail.state = Mail.DROPPED
    mail._history_user = person  # type: ignore[attr-defined]
    mail.save()
    return mail
