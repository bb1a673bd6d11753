"""Who reads: their preferences on the request, for all that shows quantities or paper."""

from collections.abc import Callable
from functools import cache, partial

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.utils.functional import SimpleLazyObject
from django.utils.translation import override

from shop.base.roles import may
from shop.people.models import preferences_of
from specs.written import written_as


def reader(get_response: Callable[[HttpRequest], HttpResponse]) -> Callable[[HttpRequest], HttpResponse]:
    """Set ``request.preferences``, read from the database only by a page that asks, and ``request.may(action)``.

    Figures and days are written as the reader chose, from here to the answer.
    """

    def middleware(request: HttpRequest) -> HttpResponse:
        request.preferences = SimpleLazyObject(lambda: preferences_of(request.user))  # type: ignore[attr-defined]
        request.may = partial(may, request.user)  # type: ignore[attr-defined]
        # A language that nobody set is looked for anew, by way of an error, for every text and every day of a page.
        with override(settings.LANGUAGE_CODE), written_as(cache(lambda: request.preferences.written)):  # type: ignore[attr-defined]
            return get_response(request)

    return middleware
