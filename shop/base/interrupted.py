"""A form sent after its session had ended: kept for the person whose session it was, and shown after signing in.

It is kept for a day, at most 1 MB and a few a person, never with passwords or files. Nobody else is offered it.
"""

from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth import SESSION_KEY
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.db import transaction
from django.http import HttpRequest

from shop.base.models import InterruptedForm

KEPT_FOR = timedelta(hours=24)
LARGEST = 1024 * 1024
MOST_EACH = 20
_NOT_KEPT = {"csrfmiddlewaretoken"}


def person_before(request: HttpRequest) -> int | None:
    """The key of the person whose session this was, ended or not; None for a stranger and after signing out."""
    if key := request.session.get(SESSION_KEY):
        return int(key)
    ended = Session.objects.filter(session_key=request.COOKIES.get(settings.SESSION_COOKIE_NAME, "")).first()
    key = ended.get_decoded().get(SESSION_KEY) if ended else None
    return int(key) if key else None


@transaction.atomic
def keep_form(*, request: HttpRequest, person_key: int | None, now: datetime) -> InterruptedForm | None:
    """Keep what was sent, unless it holds a password or a file, is too large, or is nobody's."""
    InterruptedForm.objects.filter(sent_at__lt=now - KEPT_FOR).delete()
    sent = {name: texts for name, texts in request.POST.lists() if name not in _NOT_KEPT}
    size = sum(len(text.encode()) for name, texts in sent.items() for text in (name, *texts))
    secret = any("password" in name for name in sent)
    known = User.objects.filter(pk=person_key or 0, is_active=True).first()
    if known is None or secret or request.FILES or size > LARGEST:
        return None
    if InterruptedForm.objects.filter(person=known).count() >= MOST_EACH:
        return None
    return InterruptedForm.objects.create(person=known, address=request.get_full_path(), sent=sent, sent_at=now)
