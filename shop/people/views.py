from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def locked_out(request: HttpRequest, credentials: Any = None, *args: Any, **kwargs: Any) -> HttpResponse:
    """Shown after too many wrong passwords for one name from one place."""
    return render(request, "people/locked_out.html", status=429)


def preferences(request: HttpRequest) -> HttpResponse:
    return render(request, "people/preferences.html")
