"""Who is shut out after wrong passwords, and until when.

Three counts of wrong tries, each over the time for which it shuts out:

- a name from an address (5): somebody guesses one person's password;
- all names from an address (30): somebody tries common passwords on everybody;
- a name from everywhere (50): many machines guess one person's password.

A browser on which that person has signed in before carries a mark of it, and its tries are counted by themselves: what
others try, from the same address and even on the same name, does not shut it out. Nobody is made to wait while a thread
sleeps; the answer says when to come back.
"""

from collections.abc import Iterator
from datetime import datetime, timedelta
from math import ceil
from secrets import token_hex
from typing import Any

from axes.handlers.database import AxesDatabaseHandler
from axes.helpers import get_client_username
from axes.models import AccessAttempt
from django.conf import settings
from django.core.signing import BadSignature, Signer
from django.db.models import Max, QuerySet, Sum
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.language import gettext_lazy

PAIR, ADDRESS, NAME, DEVICE = 5, 30, 50, 5
SHUT_FOR = timedelta(hours=settings.AXES_COOLOFF_TIME)
COOKIE = "known"
COOKIE_AGE = 60 * 60 * 24 * 365
MOST_NAMES = 8
"""A bench's machine is used by several people; it knows the last few."""
UNKNOWN = gettext_lazy("unknown browser")
_signer = Signer(salt="shop.people.known")


class TriesHandler(AxesDatabaseHandler):
    """Counts as above, in the records that axes keeps; what axes calls the user agent is which browser it was."""

    def is_locked(self, request: HttpRequest, credentials: dict[str, Any] | None = None) -> bool:
        return shut_until(request, _name(request, credentials)) is not None

    def get_failures(self, request: HttpRequest, credentials: dict[str, Any] | None = None) -> int:
        """The limit, when one of the counts has reached its own; else 0."""
        return settings.AXES_FAILURE_LIMIT if self.is_locked(request, credentials) else 0

    def user_login_failed(self, sender: Any, credentials: dict[str, Any], request: Any = None, **more: Any) -> None:
        if request is not None:
            request.axes_user_agent = browser_of(request, _name(request, credentials))
        super().user_login_failed(sender, credentials, request, **more)

    def user_logged_in(self, sender: Any, request: Any, user: Any, **more: Any) -> None:
        request.axes_user_agent = browser_of(request, user.get_username())
        super().user_logged_in(sender, request, user, **more)

    def reset_user_attempts(self, request: Any, credentials: dict[str, Any] | None = None) -> int:
        """Signing in makes up for the slips of this browser on this name, and for nobody else's."""
        mine = AccessAttempt.objects.filter(
            username=_name(request, credentials),
            ip_address=request.axes_ip_address,
            user_agent=browser_of(request, _name(request, credentials)),
        )
        return mine.delete()[0]


def shut_until(request: HttpRequest, name: str) -> datetime | None:
    """When this browser may try this name again; None when it may now."""
    since = timezone.now() - SHUT_FOR
    recent = AccessAttempt.objects.filter(attempt_time__gt=since)
    ends = [end for rows, most in _counts(request, name, recent) if (end := _end(rows, most))]
    return max(ends, default=None)


def _counts(request: HttpRequest, name: str, recent: QuerySet[Any]) -> Iterator[tuple[QuerySet[Any], int]]:
    browser = browser_of(request, name)
    address = request.axes_ip_address  # type: ignore[attr-defined]
    if browser != UNKNOWN:
        yield recent.filter(username=name, user_agent=browser), DEVICE
        return
    strange = recent.filter(user_agent=UNKNOWN)
    yield strange.filter(username=name, ip_address=address), PAIR
    yield strange.filter(ip_address=address), ADDRESS
    yield strange.filter(username=name), NAME


def _end(rows: QuerySet[Any], most: int) -> datetime | None:
    counted = rows.aggregate(tries=Sum("failures_since_start"), last=Max("attempt_time"))
    return counted["last"] + SHUT_FOR if (counted["tries"] or 0) >= most else None


def seconds_left(request: HttpRequest, name: str) -> int:
    """For Retry-After: at least 1."""
    until = shut_until(request, name)
    return max(1, ceil((until - timezone.now()).total_seconds())) if until else 1


def addresses_shut() -> list[str]:
    """Addresses from which too many names were tried."""
    strange = AccessAttempt.objects.filter(attempt_time__gt=timezone.now() - SHUT_FOR, user_agent=UNKNOWN)
    counted = strange.values("ip_address").annotate(tries=Sum("failures_since_start")).order_by("ip_address")
    return [str(row["ip_address"]) for row in counted if row["tries"] >= ADDRESS]


def _name(request: HttpRequest, credentials: dict[str, Any] | None) -> str:
    return str(get_client_username(request, credentials) or "")


# --- Browsers that are known ------------------------------------------------------------------------------------------


def browser_of(request: HttpRequest, name: str) -> str:
    """The mark of a browser on which this name has signed in before, or UNKNOWN."""
    number, names = _known(request)
    return gettext("known browser {number}").format(number=number) if name in names else UNKNOWN


def remember_browser(request: HttpRequest, response: HttpResponseBase, name: str) -> None:
    """Mark the browser as one on which this name has signed in."""
    number, names = _known(request)
    kept = [name, *(other for other in names if other != name)][:MOST_NAMES]
    signed = _signer.sign_object([number or token_hex(8), kept])
    response.set_cookie(
        COOKIE,
        signed,
        max_age=COOKIE_AGE,
        httponly=True,
        secure=settings.SESSION_COOKIE_SECURE,
        samesite="Lax",
        path=reverse(settings.LOGIN_URL),
    )


def _known(request: HttpRequest) -> tuple[str, list[str]]:
    try:
        number, names = _signer.unsign_object(request.COOKIES.get(COOKIE, ""))
    except (BadSignature, ValueError, TypeError):
        return "", []
    return str(number), [str(name) for name in names]
