"""Guards around every page."""

from collections.abc import Callable
from typing import Any

from django.contrib.auth.views import redirect_to_login
from django.http import HttpRequest, HttpResponse
from django.http.request import QueryDict
from django.urls import reverse
from django.utils import timezone

from shop.base import error_pages
from shop.base.interrupted import keep_form, person_before
from specs.models.base import Stale

GetResponse = Callable[[HttpRequest], HttpResponse]


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


class KeepInterruptedForm:
    """Keep a form whose session ended before it was sent, and lead from the sign-in page back to it."""

    def __init__(self, get_response: GetResponse) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        if request.method != "POST" or not getattr(view, "login_required", True):
            return None
        person_key = person_before(request)  # before the user is looked at: a session no longer valid is then gone
        if request.user.is_authenticated:
            return None
        kept = keep_form(request=request, person_key=person_key, now=timezone.now())
        return redirect_to_login(reverse("home:interrupted", args=[kept.pk])) if kept else None
