"""A page that was shown a moment ago and would be the same now is not made again: the browser is told that it has it.

Who reads is told from others by the cookie of the session and that of form tokens. Nobody wrote anything since: the
mark of `shop.base.state_mark` says so of sessions, people and preferences as well as of records. And it is still the
minute in which the page was made, for pages tell the time, a session ends and a file appears without anybody writing.
What holds a token that counts once, or words that are said once, is made each time.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Hashable
from dataclasses import dataclass
from hashlib import blake2b
from http.cookies import Morsel
from threading import Lock
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.utils import timezone
from django.utils.cache import get_conditional_response

from shop.base import state_mark
from shop.base.lists import LIST_COOKIE

MOST_KEPT = 2_000
# Each page has the token of its forms masked anew; the one that a browser has stays good as long as its cookie.
_MASKED = re.compile(rb'name="csrfmiddlewaretoken" value="[^"]*"')
_ONCE = b'name="once"'


@dataclass(frozen=True)
class _Shown:
    """A page as it was sent: its tag, and the cookies that name the list from which it is left."""

    tag: str
    cookies: tuple[Morsel[str], ...]
    lists_read: str | None
    """What the browser told of such lists, where the page says something of it."""
    match: Any


class SamePage:
    """Answers 304 to a browser that has the page, where it would be the same; every page may be kept by its reader."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self._lock = Lock()
        self._moment: Hashable = None
        self._shown: dict[Hashable, _Shown] = {}

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method != "GET" or settings.SESSION_COOKIE_NAME not in request.COOKIES:
            return self.get_response(request)
        moment, key = _moment(), _reader_and_address(request)
        shown = self._found(moment, key)
        tags = request.headers.get("If-None-Match", "")
        if shown and shown.tag in tags and shown.lists_read in (None, _lists(request)):
            return _not_modified(request, shown)
        response = self.get_response(request)
        if not _may_be_same(request, response):
            return response
        shown = _Shown(_tag(request, response), _own_cookies(response), _lists_read(request), request.resolver_match)
        self._keep(moment, key, shown)
        response["ETag"], response["Cache-Control"] = shown.tag, "private, no-cache"
        return get_conditional_response(request, etag=shown.tag, response=response) or response

    def _found(self, moment: Hashable, key: Hashable) -> _Shown | None:
        with self._lock:
            return self._shown.get(key) if moment is not None and moment == self._moment else None

    def _keep(self, moment: Hashable, key: Hashable, shown: _Shown) -> None:
        # The moment from before the page was made: what somebody wrote meanwhile makes it another one.
        if moment is None:
            return
        with self._lock:
            if moment != self._moment or len(self._shown) >= MOST_KEPT:
                self._moment, self._shown = moment, {}
            self._shown[key] = shown


def _moment() -> Hashable:
    """The state of the database and the minute; None where the state cannot be told."""
    mark = state_mark.mark()
    return None if mark is None else (mark, timezone.now().replace(second=0, microsecond=0))


def _reader_and_address(request: HttpRequest) -> Hashable:
    cookies = (request.COOKIES.get(name) for name in (settings.SESSION_COOKIE_NAME, settings.CSRF_COOKIE_NAME))
    return (*cookies, request.scheme, request.META.get("HTTP_HOST"), request.get_full_path())


def _may_be_same(request: HttpRequest, response: HttpResponse) -> bool:
    """Whether a page says nothing that is said only once, and sets no cookie but those known here."""
    is_page = response.status_code == 200 and not response.streaming and "Cache-Control" not in response
    said_once = getattr(getattr(request, "_messages", None), "used", False)
    known = all(name == settings.CSRF_COOKIE_NAME or name.startswith(LIST_COOKIE) for name in response.cookies)
    return is_page and not said_once and known and _ONCE not in response.content


def _tag(request: HttpRequest, response: HttpResponse) -> str:
    told = (request.META.get("CSRF_COOKIE", ""), response.headers.get("Content-Type", ""))
    digest = blake2b(repr(told).encode(), digest_size=16)
    digest.update(_MASKED.sub(b"", response.content))
    return f'W/"{digest.hexdigest()}"'


def _own_cookies(response: HttpResponse) -> tuple[Morsel[str], ...]:
    return tuple(morsel for name, morsel in response.cookies.items() if name.startswith(LIST_COOKIE))


def _lists(request: HttpRequest) -> str:
    return repr(sorted((name, value) for name, value in request.COOKIES.items() if name.startswith(LIST_COOKIE)))


def _lists_read(request: HttpRequest) -> str | None:
    return _lists(request) if getattr(request, "lists_read", False) else None


def _not_modified(request: HttpRequest, shown: _Shown) -> HttpResponse:
    request.resolver_match = shown.match
    response = HttpResponseNotModified()
    response["ETag"], response["Cache-Control"] = shown.tag, "private, no-cache"
    for morsel in shown.cookies:
        response.cookies[morsel.key] = morsel
    return response
