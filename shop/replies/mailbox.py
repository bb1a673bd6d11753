"""The mailbox that the shop points to: unread messages are taken in and then marked as read, none is deleted."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from imap_tools import AND, BaseMailBox, ImapToolsError, MailBox, MailBoxUnencrypted, MailMessageFlags

from shop.replies.changes import take_in

MOST = 100
"""Messages of one reading; the next goes on."""
MOST_BYTES = 25_000_000


@dataclass(frozen=True)
class Taken:
    """What a reading of the mailbox came to."""

    new: int = 0
    passed_over: int = 0


def is_named() -> bool:
    """Whether the shop points to a mailbox."""
    return bool(settings.MAILBOX["host"])


def read_mailbox(now: datetime) -> Taken:
    """Take in what is unread. A message is marked as read only once it is on record, so none is lost on the way.

    Raises OSError and imap_tools' errors where the server cannot be reached or refuses.
    """
    taken, passed_over = 0, 0
    with _opened() as box:
        for message in box.fetch(AND(seen=False), mark_seen=False, limit=MOST, bulk=False):
            try:
                if message.size_rfc822 > MOST_BYTES:
                    raise ValidationError("too large")
                take_in(message.obj.as_bytes(), person=None, now=now)
                taken += 1
            except ValidationError:
                passed_over += 1  # stays in the mailbox, marked as read: a person looks at it there
            box.flag(message.uid or "", MailMessageFlags.SEEN, True)
    return Taken(taken, passed_over)


@contextmanager
def _opened() -> Iterator[BaseMailBox]:
    where: dict[str, Any] = settings.MAILBOX
    kind = MailBox if where["use_tls"] else MailBoxUnencrypted
    box = kind(where["host"], where["port"], timeout=where["timeout"])
    try:
        box.login(where["username"], where["password"], initial_folder=where["folder"])
    except (OSError, ImapToolsError):
        box.client.shutdown()  # a login that was refused leaves its line open
        raise
    with box:
        yield box
