"""A page that was shown a moment ago and would be the same now is not made again: it is sent as it was, or the browser
is told that it has it.

Who reads is told from others by the cookies. Either nobody wrote anything since: the mark of `shop.base.state_mark`
says so of sessions, people and preferences as well as of records; or every question that was asked for the page, of its
reader and all that it shows, is answered as it was (`shop.base.asked_again`). And it is still the minute in which the
page was made, for pages tell the time, a session ends and a file appears without anybody writing. What holds words
that are said once is made each time; so is what a browser asks for with `no-cache`, as it does when its reader insists.

A form that writes once (`shop.base.once`) gets another token with each sending, and its page no tag: a browser that was
told that it has the page would send the token of an earlier press, and a second order of the same would be none.
"""

from __future__ import annotations

import re
import zlib
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from datetime import datetime
from hashlib import blake2b
from http.cookies import Morsel
from threading import Lock
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseNotModified
from django.middleware.csrf import get_token
from django.utils import timezone
from django.utils.cache import get_conditional_response

from shop.base import state_mark, unchanged
from shop.base.asked_again import Trace, listening
from shop.base.lists import LIST_COOKIE
from shop.base.once import fresh_token

MOST_BYTES = 8 * 1024 * 1024
"""Of pages as they were sent, packed: some eight hundred."""
# Each answer has the token of its forms masked anew: how long it is when packed tells nothing of it (BREACH).
# A pattern that begins with plain letters is looked for at the speed of memory, which one that looks behind is not.
_MASKED = re.compile(rb'(name="csrfmiddlewaretoken" value=")[^"]*"')
_ONCE = re.compile(rb'(name="once" value=")[^"]*"')


@dataclass(frozen=True)
class _Shown:
    """A page as it was sent: when, of which state, its tag, and the cookies that name the list from which it is left.

    `secret` is that of its form tokens, `lists_read` what the browser told of lists, where the page says something of
    it, `trace` what was asked for it, None where that cannot be asked again. `tag`: None where the page counts once.
    """

    minute: datetime
    mark: Hashable
    tag: str | None
    headers: dict[str, str]
    packed: bytes
    secret: str
    cookies: tuple[Morsel[str], ...]
    lists_read: str | None
    match: Any
    trace: Trace | None


class SamePage:
    """Sends a page again that would be the same, or 304; every page may be kept by its reader."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response
        self._lock = Lock()
        self._shown: OrderedDict[Hashable, _Shown] = OrderedDict()
        self._bytes = 0

    def __call__(self, request: HttpRequest) -> HttpResponse:
        if request.method != "GET" or settings.SESSION_COOKIE_NAME not in request.COOKIES:
            return self.get_response(request)
        # From before the page is made: what somebody writes meanwhile makes it another one.
        mark, minute, key = state_mark.mark(), _minute(), _reader_and_address(request)
        shown = self._same(key, mark, minute) if _may_be_shown_again(request) else None
        if shown and shown.lists_read in (None, _lists(request)):
            return _sent_again(request, shown)
        with unchanged.at_one_look(mark), listening() as listener:
            response = self.get_response(request)
        if not _may_be_same(request, response):
            return response
        tag = None if _ONCE.search(response.content) else _tag(request, response)
        if tag:
            response["ETag"], response["Cache-Control"] = tag, "private, no-cache"
        if mark is not None:
            self._keep(key, _as_sent(request, response, tag, mark, minute, unchanged.trace_of(listener, mark)))
        return (tag and get_conditional_response(request, etag=tag, response=response)) or response

    def _same(self, key: Hashable, mark: Hashable, minute: datetime) -> _Shown | None:
        """What was shown, where it would be the same."""
        with self._lock:
            shown = self._shown.get(key)
        if shown is None or mark is None or shown.minute != minute:
            return None
        if shown.mark == mark:
            return shown
        if shown.trace is None or not unchanged.still_holds(shown.trace, mark):
            return None
        shown = replace(shown, mark=mark)
        self._keep(key, shown)
        return shown

    def _keep(self, key: Hashable, shown: _Shown) -> None:
        with self._lock:
            self._let_go(key)
            self._shown[key] = shown
            self._bytes += len(shown.packed)
            while self._bytes > MOST_BYTES:
                self._let_go(next(iter(self._shown)))

    def _let_go(self, key: Hashable) -> None:
        gone = self._shown.pop(key, None)
        self._bytes -= len(gone.packed) if gone else 0


def _minute() -> datetime:
    return timezone.now().replace(second=0, microsecond=0)


def _reader_and_address(request: HttpRequest) -> Hashable:
    cookies = sorted(one for one in request.COOKIES.items() if not one[0].startswith(LIST_COOKIE))
    told = (request.META.get("HTTP_HOST"), request.META.get("HTTP_ACCEPT_LANGUAGE"))
    return (*cookies, *told, request.scheme, request.get_full_path())


def _may_be_shown_again(request: HttpRequest) -> bool:
    return request.headers.get("Cache-Control") != "no-cache"


def _may_be_same(request: HttpRequest, response: HttpResponse) -> bool:
    """Whether a page says nothing that is said only once, and sets no cookie but those known here."""
    is_page = response.status_code == 200 and not response.streaming and "Cache-Control" not in response
    said_once = getattr(getattr(request, "_messages", None), "used", False)
    known = all(name == settings.CSRF_COOKIE_NAME or name.startswith(LIST_COOKIE) for name in response.cookies)
    # The cookie that its tokens belong to comes with the page that is made, and with no other.
    known = known and (settings.CSRF_COOKIE_NAME in request.COOKIES or "CSRF_COOKIE" not in request.META)
    return is_page and not said_once and known


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


def _as_sent(
    request: HttpRequest,
    response: HttpResponse,
    tag: str | None,
    mark: Hashable,
    minute: datetime,
    trace: Trace | None,
) -> _Shown:
    headers, packed = dict(response.headers), zlib.compress(response.content, 1)
    secret, match = request.META.get("CSRF_COOKIE", ""), request.resolver_match
    cookies, lists = _own_cookies(response), _lists_read(request)
    return _Shown(minute, mark, tag, headers, packed, secret, cookies, lists, match, trace)


def _sent_again(request: HttpRequest, shown: _Shown) -> HttpResponse:
    request.resolver_match = shown.match
    if shown.tag and shown.tag in request.headers.get("If-None-Match", ""):
        response: HttpResponse = HttpResponseNotModified()
        response["ETag"], response["Cache-Control"] = shown.tag, "private, no-cache"
    else:
        response = HttpResponse(_masked_anew(request, shown), headers=shown.headers)
    for morsel in shown.cookies:
        response.cookies[morsel.key] = morsel
    return response


def _masked_anew(request: HttpRequest, shown: _Shown) -> bytes:
    content = zlib.decompress(shown.packed)
    if shown.tag is None:
        content = _ONCE.sub(lambda found: found[1] + fresh_token().encode() + b'"', content)
    if not _MASKED.search(content):
        return content
    request.META["CSRF_COOKIE"] = shown.secret
    return _MASKED.sub(rb"\g<1>" + get_token(request).encode() + b'"', content)
