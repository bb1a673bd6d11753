"""Delete what only served for a while, and count what is left."""

from datetime import timedelta
from typing import Any

from axes.models import AccessAttempt, AccessLog
from django.contrib.sessions.models import Session
from django.db import connection
from django.utils import timezone
from django.utils.translation import gettext

from shop.base import plan_statistics, postgres_marks
from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.base.middleware import KEPT_FOR
from shop.base.models import InterruptedForm

# An ended session is kept for a while: it tells whose form arrived after its end, so that the words are not lost.
SESSIONS = SIGN_INS = timedelta(days=30)


class Command(ShopCommand):
    help = gettext_lazy(
        "Delete sessions that ended and sign-ins of more than 30 days ago, forms kept for longer than a day, and, on "
        "PostgreSQL, the marks of which tables were written; count the rows that the database's plans rest on."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        now = timezone.now()
        old = {
            "sessions": Session.objects.filter(expire_date__lt=now - SESSIONS),
            "wrong tries": AccessAttempt.objects.filter(attempt_time__lt=now - SIGN_INS),
            "sign-ins": AccessLog.objects.filter(attempt_time__lt=now - SIGN_INS),
            "interrupted forms": InterruptedForm.objects.filter(sent_at__lt=now - KEPT_FOR),
        }
        gone = {name: rows.delete()[0] for name, rows in old.items()}
        if connection.vendor == "postgresql":
            gone["marks of tables"] = postgres_marks.clear(connection)
        plan_statistics.count_anew(connection)
        self.stdout.write(
            ", ".join(f"{count} {name}" for name, count in gone.items() if count) or gettext("nothing to delete")
        )
