"""Django's SMTP backend, saying for each failure whether the server can have taken the message.

Only the answer to the final dot of DATA tells that a server took a message (RFC 5321, 4.1.1.4). All that fails before
it is certainly not sent and may be tried again; what breaks while waiting for that answer may have been sent.
"""

from __future__ import annotations

import re
import smtplib
from collections.abc import Sequence
from typing import Any

from django.core.mail import EmailMessage
from django.core.mail.backends.base import BaseEmailBackend
from django.core.mail.backends.smtp import EmailBackend

LINE_END = re.compile(rb"(?:\r\n|\n|\r(?!\n))")


class NotTaken(Exception):
    """The server did not take the message. `for_good`: it will not take it later either (a 5xx answer)."""

    def __init__(self, words: str, *, for_good: bool = False) -> None:
        super().__init__(words)
        self.for_good = for_good


class PerhapsTaken(Exception):
    """The connection broke after the whole text was handed over: nobody can tell whether it was taken."""


class SteppedBackend(EmailBackend):
    """Sends one message in steps, so that it is known where it failed. Raises NotTaken or PerhapsTaken."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        try:
            self.open()
        except (OSError, smtplib.SMTPException) as error:
            raise NotTaken(_words(error)) from error
        try:
            for message in email_messages:
                self._step_through(message)
            return len(email_messages)
        finally:
            self._hang_up()

    def _step_through(self, message: EmailMessage) -> None:
        server: Any = self.connection
        text = LINE_END.sub(b"\r\n", message.message().as_bytes())
        try:
            _expect(server.ehlo_or_helo_if_needed() or (250, b""), 250)
            _expect(server.mail(message.from_email), 250)
            for address in message.recipients():
                _expect(server.rcpt(address), 250, 251)
            _expect(server.docmd("DATA"), 354)
            server.send(re.sub(rb"(?m)^\.", b"..", text).removesuffix(b"\r\n") + b"\r\n")
            # The dot alone: if this fails the server never saw the end of the text.
            server.send(b".\r\n")
        except (OSError, smtplib.SMTPException) as error:
            raise NotTaken(_words(error)) from error
        try:
            code, words = server.getreply()
        except (OSError, smtplib.SMTPException) as error:
            raise PerhapsTaken(_words(error)) from error
        _expect((code, words), 250)

    def _hang_up(self) -> None:
        if self.connection is not None:
            try:
                self.connection.close()
            finally:
                self.connection = None


class NoServer(BaseEmailBackend):
    """The way out of a served site that names no mail server: everything waits, and nothing is said to be sent."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        raise NotTaken("no mail server is named: SHOP_MAIL_HOST")


def _expect(answer: tuple[int, bytes], *good: int) -> None:
    code, words = answer
    if code not in good:
        raise NotTaken(f"{code} {words.decode(errors='replace')}", for_good=code >= 500)


def _words(error: Exception) -> str:
    return str(error) or type(error).__name__
