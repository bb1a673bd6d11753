"""The pages for when something cannot be done, in words."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def bad_request(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(request, "400.html", status=400)


def forbidden(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(request, "403.html", {"reason": str(exception or "")}, status=403)


def not_found(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(request, "404.html", status=404)


def stale(request: HttpRequest) -> HttpResponse:
    return render(request, "409.html", status=409)


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    return render(request, "403_csrf.html", status=403)


def broken(request: HttpRequest) -> HttpResponse:
    # No request context here: whatever broke the page may break the menu as well.
    return render(None, "500.html", status=500)  # type: ignore[arg-type]
