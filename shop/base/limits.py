"""Who asks, and how much they may send before anybody knows who they are."""

from collections.abc import Callable

from django.conf import settings
from django.core.exceptions import ValidationError
from django.core.validators import validate_ipv46_address
from django.http import HttpRequest
from django.http.response import HttpResponse, HttpResponseBase

from shop.base import error_pages
from shop.base.middleware import person_before

GetResponse = Callable[[HttpRequest], HttpResponseBase]

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

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
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

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
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
