"""A message of e-mail as it is read (RFC 5322, RFC 2045), and what a mail server says in it (RFC 3464). Pure."""

from __future__ import annotations

import email
import email.policy
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from email.message import EmailMessage
from hashlib import sha256
from html import unescape
from typing import Any

from django.utils.translation import gettext

MOST_TEXT = 20_000
"""Letters kept of a message; what is cut off is said at its end."""
_ID = re.compile(r"<[^<>\s]+>")
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")


class UnreadableMessage(ValueError):
    """What was sent is no message of e-mail."""


@dataclass(frozen=True)
class Bounce:
    """What a server says of a letter to one address: `status` as RFC 3463 counts, such as 5.1.1."""

    recipient: str
    action: str
    status: str
    diagnostic: str

    @property
    def is_final(self) -> bool:
        """Whether the letter will not arrive; `delayed` and what begins with 4 may still do."""
        return self.action == "failed" and not self.status.startswith("4")

    @property
    def words(self) -> str:
        reason = " ".join(filter(None, (self.status, self.diagnostic)))
        return f"{self.recipient}: {self.action}{f', {reason}' if reason else ''}"


@dataclass(frozen=True)
class ReadMessage:
    """What a message says, whom it answers, and what bounced in it."""

    message_id: str
    sender: str
    subject: str
    sent_at: datetime | None
    text: str
    answers: tuple[str, ...] = ()
    bounces: tuple[Bounce, ...] = ()


def read_message(content: bytes) -> ReadMessage:
    """Read a message. Raises UnreadableMessage where the bytes hold no head of one."""
    message: Any = email.message_from_bytes(content, policy=email.policy.default)
    if not any(message.get(name) for name in ("From", "Message-ID", "Received", gettext("Subject"))):
        raise UnreadableMessage(gettext("This holds no e-mail: save the message itself, as .eml."))
    bounces = tuple(_bounces(message)) if _is_report(message) else ()
    return ReadMessage(
        message_id=_first_id(_head(message, "Message-ID"))
        or gettext("<{hexdigest}@none>").format(hexdigest=sha256(content).hexdigest()),
        sender=_head(message, "From")[:254],
        subject=_head(message, gettext("Subject"))[:300],
        sent_at=_sent_at(message),
        text=_text(message),
        answers=tuple(dict.fromkeys(_answered(message, bool(bounces)))),
        bounces=bounces,
    )


def _head(message: Any, name: str) -> str:
    try:
        value = str(message.get(name, ""))
    except Exception:  # a head that the library cannot take apart is as good as none
        value = ""
    return _UNPRINTABLE.sub("", " ".join(value.split()))


def _first_id(text: str) -> str:
    found = _ID.search(text)
    return found[0][:250] if found else ""


def _sent_at(message: Any) -> datetime | None:
    try:
        found: datetime | None = message["Date"].datetime if message["Date"] else None
    except Exception:
        return None
    return found.replace(tzinfo=UTC) if found and found.tzinfo is None else found


def _text(message: Any) -> str:
    part = message.get_body(preferencelist=("plain", "html"))
    if part is None:
        return ""
    try:
        text = part.get_content()
    except (LookupError, ValueError, KeyError):
        text = part.get_payload(decode=True).decode("latin-1")
    if part.get_content_subtype() == "html":
        text = _without_tags(text)
    text = _UNPRINTABLE.sub("", text.replace("\r\n", "\n")).strip()
    return (
        text
        if len(text) <= MOST_TEXT
        else gettext("{text}\n[cut off here: {text_2} letters more]").format(
            text=text[:MOST_TEXT], text_2=len(text) - MOST_TEXT
        )
    )


def _without_tags(text: str) -> str:
    text = re.sub(r"(?is)<(script|style|head)\b.*?</\1>", "", text)
    text = re.sub(r"(?i)<(br|/p|/div|/tr|/li)\b[^>]*>", "\n", text)
    return re.sub(r"\n\s*\n+", "\n\n", unescape(re.sub(r"<[^>]+>", "", text)))


def _is_report(message: Any) -> bool:
    """RFC 3464, 2: a delivery status notification is a multipart/report of the type delivery-status."""
    kind = message.get_content_type() == "multipart/report"
    return kind and str(message.get_param("report-type") or "").lower() == "delivery-status"


def _bounces(message: EmailMessage) -> Iterator[Bounce]:
    for part in message.walk():
        if part.get_content_type() != "message/delivery-status":
            continue
        for block in part.get_payload():  # the first is of the message, each further one of a recipient
            if isinstance(block, EmailMessage) and block.get("Final-Recipient"):
                yield _bounce(block)


def _bounce(block: Any) -> Bounce:
    """RFC 3464, 2.3: Final-Recipient and Diagnostic-Code name their kind before a semicolon."""
    recipient = _after_kind(_head(block, "Original-Recipient") or _head(block, "Final-Recipient"))
    status = re.match(r"[245]\.\d{1,3}\.\d{1,3}", _head(block, "Status"))
    diagnostic = _after_kind(_head(block, "Diagnostic-Code"))
    return Bounce(recipient, _head(block, "Action").lower(), status[0] if status else "", diagnostic)


def _after_kind(text: str) -> str:
    return text.partition(";")[2].strip() or text


def _answered(message: Any, bounced: bool) -> Iterator[str]:
    """The messages that this one answers, the nearest first; of a bounce the letter that it brings back."""
    if bounced:
        for part in message.walk():
            if part is not message and part.get("Message-ID"):
                yield _first_id(_head(part, "Message-ID"))
            elif part.get_content_type() == "text/rfc822-headers":
                yield from _ID.findall(str(part.get_content()))
    yield from _ID.findall(_head(message, "In-Reply-To"))
    yield from reversed(_ID.findall(_head(message, "References")))
