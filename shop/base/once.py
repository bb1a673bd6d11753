"""A create form writes once, however often its button is pressed.

Every create form carries ``{% once_token %}``. The first press writes the record and remembers the page it made; a
second press, even at the same moment on another connection, lands on that page and writes nothing.
"""

import re
import secrets
from collections.abc import Callable
from datetime import timedelta
from hashlib import sha256
from typing import Any, TypeVar, cast

from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.http import HttpRequest
from django.utils import timezone
from django.utils.crypto import salted_hmac

from shop.base.models import SubmittedForm

Record = TypeVar("Record")

KEPT_FOR = timedelta(days=30)
_TOKEN = re.compile(r"[A-Za-z0-9_-]{22,64}")
INTERRUPTED = "interrupted"
"""Names the kept form that is sent from its own page (`shop.base.middleware`)."""
_NOT_CONTENT = {"csrfmiddlewaretoken", "once", INTERRUPTED}


class NoOnceToken(Exception):
    """The form came without its token: refused, since a second press could not be told from a first."""


class WrittenAlready(Exception):
    """The token was used for other content: the person went back, changed the form and sent it again."""

    def __init__(self, address: str) -> None:
        super().__init__(address)
        self.address = address


def token_for(request: HttpRequest) -> str:
    """The token for a form about to be shown: the one it came with, or a fresh one."""
    if getattr(request, "new_once_token_wanted", False):
        return fresh_token()
    sent = request.POST.get("once", "")
    return sent if _TOKEN.fullmatch(sent) else fresh_token()


def fresh_token() -> str:
    """A token that no form was shown with before."""
    return secrets.token_urlsafe(24)


def write_once(request: HttpRequest, write: Callable[[], Record], *, redirect_to: Callable[[Record], str]) -> str:
    """Run ``write`` unless this form already did, and return the address (by ``redirect_to``) of the record it made.

    The write and its token are one transaction. Raises ``NoOnceToken`` without a valid token, ``WrittenAlready``
    when the token was used with other content.
    """
    token = _token(request)
    try:
        with transaction.atomic():
            submitted = SubmittedForm.objects.create(
                token=token, person=cast(User, request.user), digest=_digest(request), address=""
            )
            submitted.address = redirect_to(write())
            submitted.save(update_fields=["address"])
            SubmittedForm.objects.filter(sent_at__lt=timezone.now() - KEPT_FOR).delete()
            return submitted.address
    except IntegrityError:
        address = written_before(request)
        if address is None:  # the write itself broke a constraint: no second press
            raise
        return address


def written_before(request: HttpRequest) -> str | None:
    """Where an earlier press of this form led; None when there was none. Raises as ``write_once`` does.

    Ask after checking the form and before complaining about it: to a second press, the record that the first one just
    made looks like a name that is taken.
    """
    earlier = SubmittedForm.objects.filter(token=_token(request)).first()
    if earlier is None:
        return None
    if earlier.person_id != request.user.pk:
        raise NoOnceToken
    if earlier.digest != _digest(request):
        raise WrittenAlready(earlier.address)
    return earlier.address


def _token(request: HttpRequest) -> str:
    token = request.POST.get("once", "")
    if not _TOKEN.fullmatch(token):
        raise NoOnceToken
    return token


def _digest(request: HttpRequest) -> str:
    content = sorted((name, *texts) for name, texts in request.POST.lists() if name not in _NOT_CONTENT)
    content += [(name, *map(_file_digest, files)) for name, files in request.FILES.lists()]
    # Keyed, since a form may hold a password.
    return salted_hmac("shop.base.once", repr(content), algorithm="sha256").hexdigest()


def _file_digest(file: Any) -> str:
    """A file's name and content in short; the file is left at its beginning."""
    digest = sha256(file.name.encode())
    for chunk in file.chunks():
        digest.update(chunk)
    file.seek(0)
    return digest.hexdigest()
