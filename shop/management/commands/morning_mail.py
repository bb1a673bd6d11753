"""Write and send the morning's mail. For the system's timer, once an hour; it goes out once a day."""

from typing import Any

from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.orders.outbox import send_due
from shop.planning.morning_mail import write_morning_mail


class Command(ShopCommand):
    help = gettext_lazy("Put the morning's mail into the outbox, one a person and day, and send what waits there.")

    def handle(self, *args: Any, **options: Any) -> None:
        if settings.PRODUCTION and not settings.MAIL_SERVER["host"]:
            self.stdout.write(gettext("nothing written: no mail server is named (SHOP_MAIL_HOST)"))
            return
        written = write_morning_mail(timezone.now())
        # The time is read again: what was just written is due from now on, not from before it was written.
        ended = send_due(timezone.now())
        self.stdout.write(gettext("{written} written, {get} sent").format(written=written, get=ended.get("sent", 0)))
