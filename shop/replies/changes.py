"""Taking replies in: each once, threaded to its order, and nothing recorded of the order by itself."""

from __future__ import annotations

import re
from datetime import datetime

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base import search_index
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.orders.models import Mail, Order
from shop.orders.outbox import came_back
from shop.replies.models import Reply
from shop.replies.reading import ReadMessage, UnreadableMessage, read_message

NUMBER = re.compile(r"(?<![\w-])(\d{4}-\d{3,})(?![\w-])")
"""How our numbers are written on everything that we send."""


@transaction.atomic
def take_in(content: bytes, *, person: User | None, now: datetime) -> Reply:
    """Keep a message that came; `person` brought it, or nobody where the mailbox was read. One taken in before stays.

    Raises ValidationError for what is no e-mail. A bounce marks the letter that it is about as not arrived.
    """
    if person is not None:
        require(person, "orders.chase")
    try:
        read = read_message(content)
    except UnreadableMessage as refused:
        raise ValidationError({"file": str(refused)}) from None
    if known := Reply.objects.filter(message_id=read.message_id).first():
        return known
    mail = Mail.objects.filter(message_id__in=read.answers).select_related("chase__order").first()
    reply = Reply(
        message_id=read.message_id,
        sender=read.sender or gettext("nobody named"),
        subject=read.subject,
        sent_at=read.sent_at,
        body=read.text,
        kind=Reply.BOUNCE if read.bounces else Reply.ANSWER,
        bounce="; ".join(one.words for one in read.bounces)[:400],
        order=mail.chase.order if mail and mail.chase else _numbered(read),
        mail=mail,
        brought_by=person,
    )
    reply._history_user = person  # type: ignore[attr-defined]
    reply.full_clean(exclude=["brought_by"])
    reply.save()
    search_index.keep(reply)
    final = [one for one in read.bounces if one.is_final]
    if mail and any(one.recipient.lower() == mail.to.lower() for one in final):
        came_back(mail=mail, words=reply.bounce, now=now)
    return reply


def _numbered(read: ReadMessage) -> Order | None:
    """The order whose number the subject names, or else the text; None where it names several."""
    for text in (read.subject, read.text):
        found = list(Order.objects.active().filter(number__in=set(NUMBER.findall(text)))[:2])
        if found:
            return found[0] if len(found) == 1 else None
    return None


@transaction.atomic
def thread(reply: Reply, *, order: Order | None, person: User) -> Reply:
    """Say which order a reply is about. Raises Stale where somebody said so first."""
    require(person, "orders.chase")
    reply.order = order
    return save_as(reply, person=person)


@transaction.atomic
def mark_done(reply: Reply, *, person: User, now: datetime) -> Reply:
    """Say that a reply was dealt with: whatever it says is recorded, or need not be."""
    require(person, "orders.chase")
    held = Reply.objects.select_for_update().get(pk=reply.pk)
    if held.done_at is None:
        held.done_at, held.done_by_id = now, person.pk
        save_as(held, person=person)
    return held


@transaction.atomic
def delete_reply(reply: Reply, *, reason: str, person: User, now: datetime) -> Reply:
    """Take back a message that does not belong here."""
    require(person, "orders.chase")
    return delete_record(reply, person=person, reason=reason, now=now)
