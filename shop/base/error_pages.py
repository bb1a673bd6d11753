"""The pages for when something cannot be done, in words."""

from collections.abc import Iterable
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def bad_request(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(request, "400.html", {"title": "That could not be read"}, status=400)


def forbidden(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(request, "403.html", {"title": "This needs another role", "reason": str(exception or "")}, status=403)


def not_found(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(request, "404.html", {"title": "Page not found"}, status=404)


def wrong_method(request: HttpRequest, methods: Iterable[str]) -> HttpResponse:
    """A button's address opened as a page, or a page pressed like a button."""
    response = render(request, "405.html", {"title": "This address does something else"}, status=405)
    response["Allow"] = ", ".join(methods)
    return response


def stale(request: HttpRequest) -> HttpResponse:
    return render(request, "409.html", {"title": "Somebody else saved this first"}, status=409)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    return render(request, "403_csrf.html", {"title": "This page was open too long"}, status=403)


def broken(request: HttpRequest) -> HttpResponse:
    # Without the request: whatever broke the page may break the menu and the reader's preferences as well.
    context = {"title": "Something broke here", "shop_name": settings.SHOP_NAME}
    return render(None, "500.html", context, status=500)
