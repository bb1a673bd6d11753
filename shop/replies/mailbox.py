"""The mailbox that the shop points to: unread messages are taken in and then marked as read, none is deleted."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from ssl import SSLCertVerificationError, SSLContext, create_default_context
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.utils.translation import gettext
from imap_tools import (
    AND,
    BaseMailBox,
    ImapToolsError,
    MailBox,
    MailBoxStartTls,
    MailBoxUnencrypted,
    MailMessageFlags,
)

from shop.base.language import gettext_lazy
from shop.replies.changes import take_in

TLS, STARTTLS, OPEN = "tls", "starttls", "open"
"""How the way to it is encrypted: from the first byte (RFC 8314), after asking for it (RFC 2595), or not at all."""
CERTIFICATE = {
    10: gettext_lazy("its certificate has expired"),
    18: gettext_lazy("its certificate is signed by itself alone"),
    19: gettext_lazy("its certificate is signed by nobody that this machine trusts"),
    20: gettext_lazy("its certificate is signed by nobody that this machine trusts"),
    62: gettext_lazy("its certificate is for another name"),
    64: gettext_lazy("its certificate is for another address"),
}
"""What X509_verify_cert_error_string(3) of OpenSSL says by number, as a workshop would."""
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
                    raise ValidationError(gettext("too large"))
                take_in(message.obj.as_bytes(), person=None, now=now)
                taken += 1
            except ValidationError:
                passed_over += 1  # stays in the mailbox, marked as read: a person looks at it there
            box.flag(message.uid or "", MailMessageFlags.SEEN, True)
    return Taken(taken, passed_over)


@contextmanager
def _opened() -> Iterator[BaseMailBox]:
    where: dict[str, Any] = settings.MAILBOX
    box = _reached(where)
    try:
        box.login(where["username"], where["password"], initial_folder=where["folder"])
    except (OSError, ImapToolsError):
        box.client.shutdown()  # a login that was refused leaves its line open
        raise
    with box:
        yield box


def _reached(where: dict[str, Any]) -> BaseMailBox:
    """The server, before anybody signs in: a password goes only to one that proved its name, or to none that must."""
    host, port, timeout = where["host"], where["port"], where["timeout"]
    if where["tls"] == STARTTLS:
        return MailBoxStartTls(host, port, timeout=timeout, ssl_context=_checked())
    if where["tls"] == TLS:
        return MailBox(host, port, timeout=timeout, ssl_context=_checked())
    return MailBoxUnencrypted(host, port, timeout=timeout)


def _checked() -> SSLContext:
    """Certificate and name are checked; imaplib by itself checks neither."""
    return create_default_context()


def in_words(trouble: Exception) -> str:
    """Say why the mailbox could not be read; of a certificate, what is wrong with it and that nothing was sent."""
    if not isinstance(trouble, SSLCertVerificationError):
        return gettext("the mailbox could not be read: {trouble}").format(trouble=trouble)
    why = CERTIFICATE.get(trouble.verify_code, trouble.verify_message)
    host = settings.MAILBOX["host"]
    return gettext(
        "the mailbox was not read: {host} did not prove that it is {host}: {why}. No name or password was sent."
    ).format(host=host, why=why)
