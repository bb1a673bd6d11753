"""Guards around every page: who asks, how much they may send, what becomes of a form that cannot be taken."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any, cast

from django.conf import settings
from django.contrib import messages
from django.contrib.auth import SESSION_KEY
from django.contrib.auth.models import User
from django.contrib.auth.views import redirect_to_login
from django.contrib.sessions.models import Session
from django.core.exceptions import ValidationError
from django.core.validators import validate_ipv46_address
from django.db import OperationalError, transaction
from django.http import HttpRequest, HttpResponse
from django.http.request import QueryDict
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base import error_pages
from shop.base.language import gettext_lazy
from shop.base.models import InterruptedForm
from shop.base.once import INTERRUPTED
from specs.models.base import Stale

GetResponse = Callable[[HttpRequest], HttpResponse]
KEPT_FOR = timedelta(hours=24)
LARGEST = 1024 * 1024
MOST_EACH = 20
NOT_KEPT = gettext_lazy(
    "You were no longer signed in, and what you sent could not be kept: passwords, files and more than 1 MB never are. "
    "Sign in and enter it again."
)
_NOT_KEPT = {"csrfmiddlewaretoken", INTERRUPTED}

STRANGERS = 64 * 1024
"""Bytes of a form from somebody without a session: a name and a password."""
ENDED_SESSION = 4 * 1024 * 1024
"""Bytes of a form whose sender's session has ended meanwhile: it is kept for them."""
SIGNED_IN = 60 * 1024 * 1024
"""Bytes from somebody signed in: a dozen photographs of a phone."""

_TOLD_BY_A_PROXY = ("HTTP_X_FORWARDED_FOR", "HTTP_X_FORWARDED_PROTO", "HTTP_X_FORWARDED_HOST", "HTTP_FORWARDED")


class TrustProxy:
    """Believe what a proxy says of who asks, and nobody else: a header that anybody can write opens no door."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.META.get("REMOTE_ADDR") in settings.SHOP_PROXIES:
            # The last one is what the proxy saw itself; those before it are what it was told.
            told = request.META.get("HTTP_X_FORWARDED_FOR", "").rpartition(",")[2].strip()
            request.META["REMOTE_ADDR"] = told or request.META["REMOTE_ADDR"]
        else:
            for header in _TOLD_BY_A_PROXY:
                request.META.pop(header, None)
        return self.get_response(request)


def client_address(request: HttpRequest) -> str | None:
    """The address that asks, as TrustProxy left it; None for what is no address."""
    address = str(request.META.get("REMOTE_ADDR", ""))
    try:
        validate_ipv46_address(address)
    except ValidationError:
        return None
    return address


class LimitBody:
    """Refuse what is too large before a byte of it is read: nothing of a stranger's 100 MB reaches the disk."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        length = _length(request)
        if length > STRANGERS and length > most_of(request):
            return too_large(request)
        return self.get_response(request)


def most_of(request: HttpRequest) -> int:
    """The most bytes that this sender may send."""
    ended = person_before(request)
    if request.user.is_authenticated:
        return SIGNED_IN
    return ENDED_SESSION if ended else STRANGERS


def too_large(request: HttpRequest) -> HttpResponse:
    return error_pages.too_large(request, SIGNED_IN // 2**20)


def _length(request: HttpRequest) -> int:
    try:
        return int(request.META.get("CONTENT_LENGTH") or 0)
    except ValueError:
        return 0


class RefuseUnprintable:
    """Answer 400 to a NUL character in an address or form: no keyboard types it and PostgreSQL cannot store it."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        # Here, not in __call__: reading a form before the view is known would spoil a view that streams its upload.
        if "\0" in request.path or _has_nul(request.GET) or _has_nul(request.POST):
            return error_pages.bad_request(request)
        return None


def _has_nul(sent: QueryDict) -> bool:
    return any("\0" in text for key, texts in sent.lists() for text in (key, *texts))


class ExplainStale:
    """Turn a save that came second, where no form could show both versions, into a plain page: nothing was written."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        return error_pages.stale(request) if isinstance(exception, Stale) else None


class ExplainUnwritable:
    """Turn a locked database or a full disk into a page in words that keeps what was sent: nothing was written."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, exception: Exception) -> HttpResponse | None:
        why = error_pages.why_unwritable(exception) if isinstance(exception, OperationalError | OSError) else ""
        return error_pages.unwritable(request, why) if why else None


class KeepInterruptedForm:
    """Keep a form whose session ended before it was sent, and lead from the sign-in page back to it.

    It is kept for a day, at most 1 MB and a few a person, never with passwords or files, and offered to nobody else.
    Once it was sent it is gone, so that pressing its button again does nothing.
    """

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        response = self.get_response(request)
        if request.method == "POST" and response.status_code == 302 and (kept := _sent_again(request)):
            kept.delete()
        return response

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        if request.method != "POST" or not getattr(view, "login_required", True):
            return None
        person_key = person_before(request)  # before the user is looked at: a session no longer valid is then gone
        if request.user.is_authenticated:
            return self._refuse_second(request)
        kept = keep_form(request=request, person_key=person_key, now=timezone.now())
        if kept:
            return redirect_to_login(reverse("home:interrupted", args=[kept.pk]))
        if person_key:
            messages.warning(request, NOT_KEPT)
        return None

    def _refuse_second(self, request: HttpRequest) -> HttpResponse | None:
        if INTERRUPTED not in request.POST or _sent_again(request):
            return None
        messages.warning(request, gettext("This was sent or discarded before. Nothing more was done."))
        return redirect("home:today")


def _sent_again(request: HttpRequest) -> InterruptedForm | None:
    """The kept form that a person sends from its page, if it is theirs and still there."""
    key = request.POST.get(INTERRUPTED, "")
    known = key.isascii() and key.isdigit() and len(key) < 10 and request.user.is_authenticated
    return InterruptedForm.objects.filter(pk=int(key), person=cast(User, request.user)).first() if known else None


def person_before(request: HttpRequest) -> int | None:
    """The key of the person whose session this was, ended or not; None for a stranger and after signing out."""
    if key := request.session.get(SESSION_KEY):
        return int(key)
    ended = Session.objects.filter(session_key=request.COOKIES.get(settings.SESSION_COOKIE_NAME, "")).first()
    key = ended.get_decoded().get(SESSION_KEY) if ended else None
    return int(key) if key else None


@transaction.atomic
def keep_form(*, request: HttpRequest, person_key: int | None, now: datetime) -> InterruptedForm | None:
    """Keep what was sent, unless it holds a password or a file, is too large, or is nobody's.

    Of one person the newest MOST_EACH are kept.
    """
    InterruptedForm.objects.filter(sent_at__lt=now - KEPT_FOR).delete()
    sent = {name: texts for name, texts in request.POST.lists() if name not in _NOT_KEPT}
    size = sum(len(text.encode()) for name, texts in sent.items() for text in (name, *texts))
    secret = any("password" in name for name in sent)
    known = User.objects.filter(pk=person_key or 0, is_active=True).first()
    if known is None or secret or request.FILES or size > LARGEST:
        return None
    newest = InterruptedForm.objects.filter(person=known).order_by("-sent_at", "-pk").values("pk")[: MOST_EACH - 1]
    InterruptedForm.objects.filter(person=known).exclude(pk__in=list(newest.values_list("pk", flat=True))).delete()
    return InterruptedForm.objects.create(person=known, address=request.get_full_path(), sent=sent, sent_at=now)
