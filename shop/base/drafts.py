"""The browser keeps what was typed until it was saved (`static/js/drafts.js`); here it is told what was.

Only the server knows that a form was written: a page that follows may as well come after a network that was cut.
"""

from urllib.parse import quote

from django.conf import settings
from django.http import HttpRequest, HttpResponse

COOKIE = "saved_forms"
MOST = 8
KEPT_FOR_SECONDS = 24 * 60 * 60


def tell_saved(request: HttpRequest, response: HttpResponse) -> HttpResponse:
    """Add to the answer that this person's form at this address was written, for the script to drop its draft."""
    saved = quote(f"{request.user.pk} {request.get_full_path()}", safe="")
    # Several, since two tabs may save before a page of the site is shown; the script takes them all away.
    earlier = [one for one in request.COOKIES.get(COOKIE, "").split("|") if one and one != saved]
    told = "|".join([*earlier, saved][-MOST:])
    if len(told) < 3000:  # a browser drops a cookie over 4 kB, and then all of them
        response.set_cookie(
            COOKIE, told, max_age=KEPT_FOR_SECONDS, secure=settings.SESSION_COOKIE_SECURE, samesite="Lax"
        )
    return response
