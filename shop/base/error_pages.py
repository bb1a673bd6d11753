"""The pages for when something cannot be done, in words."""

import sys
from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.db import OperationalError
from django.http import Http404, HttpRequest, HttpResponse
from django.middleware.csrf import get_token
from django.shortcuts import render
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.page_above import page_above


def bad_request(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(request, "400.html", {"title": gettext("That could not be read")}, status=400)


def forbidden(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(
        request, "403.html", {"title": gettext("This needs another role"), "reason": str(exception or "")}, status=403
    )


class DeletedMeanwhile(Http404):
    """The record was deleted before this was sent; the words say by whom, when and why."""


def not_found(request: HttpRequest, exception: Any = None) -> HttpResponse:
    """No such page, or a record that somebody deleted: what was typed for it is shown, so that it can be copied."""
    gone = str(exception) if isinstance(exception, DeletedMeanwhile) else ""
    title = gettext("Deleted before you saved") if gone and request.method == "POST" else gettext("Page not found")
    context = {"title": title, "gone": gone, "shown": _typed(request)}
    return render(request, "404.html", context, status=404)


def wrong_method(request: HttpRequest, methods: Iterable[str]) -> HttpResponse:
    """A button's address opened as a page, or a page pressed like a button."""
    context = {"title": gettext("This address does something else"), "above": page_above(request.path)}
    response = render(request, "405.html", context, status=405)
    response["Allow"] = ", ".join(methods)
    return response


def too_large(request: HttpRequest, megabytes: int) -> HttpResponse:
    # Without the request: to know the reader's preferences one may need what was not read.
    context = {"title": gettext("Too much at once"), "shop_name": settings.SHOP_NAME, "megabytes": megabytes}
    return render(None, "413.html", context, status=413)


def stale(request: HttpRequest) -> HttpResponse:
    """A press that came second and wrote nothing: what was typed for it is shown, so that it can be copied."""
    context = {"title": gettext("Somebody else saved this first"), "shown": _typed(request)}
    return render(request, "409.html", context, status=409)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    return render(request, "403_csrf.html", {"title": gettext("This page was open too long")}, status=403)


def broken(request: HttpRequest) -> HttpResponse:
    """Something broke; where the disk is full or the database locked, what middleware could not write is told so."""
    fault = sys.exc_info()[1]
    if isinstance(fault, OperationalError | OSError) and (why := why_unwritable(fault)):
        return unwritable(request, why)
    # Without the request: whatever broke the page may break the menu and the reader's preferences as well.
    context = {"title": gettext("Something broke here"), "shop_name": settings.SHOP_NAME}
    return render(None, "500.html", context, status=500)


LOCKED = gettext_lazy("The database is busy with somebody else's work.")
FULL = gettext_lazy("The disk of this box is full: tell whoever looks after it.")
_UNWRITABLE = {"is locked": LOCKED, "lock timeout": LOCKED, "deadlock": LOCKED, "is full": FULL, "No space left": FULL}


def why_unwritable(fault: Exception) -> str:
    """Why the database or the disk takes nothing now, in words; "" for any other fault."""
    return next((words for sign, words in _UNWRITABLE.items() if sign in str(fault)), "")


_NOT_TYPED = ("csrfmiddlewaretoken", "once", "version", "result", "interrupted")


def _sent(request: HttpRequest) -> list[tuple[str, str]]:
    kept = [(name, text) for name, texts in request.POST.lists() if "password" not in name for text in texts]
    return [(name, str(text)) for name, text in kept if name != "csrfmiddlewaretoken"]


def _typed(request: HttpRequest) -> list[tuple[str, str]]:
    """What a person typed or chose, by field, less the marks that a form carries."""
    return [(name.replace("_", " "), text) for name, text in _sent(request) if text and name not in _NOT_TYPED]


def unwritable(request: HttpRequest, why: str) -> HttpResponse:
    """Say that nothing was written, with what was sent kept in the page to be sent again."""
    # Without the request: the menu and the reader's preferences would ask the same database.
    context = {
        "title": gettext("Not saved yet") if request.method == "POST" else gettext("Not available at the moment"),
        "shop_name": settings.SHOP_NAME,
        "why": why,
        "address": request.get_full_path() if request.method == "POST" else "",
        "sent": _sent(request),
        "shown": _typed(request),
        "left_out": bool(request.FILES) or any("password" in name for name in request.POST),
        "csrf_token": get_token(request),
    }
    return render(None, "503.html", context, status=503)
