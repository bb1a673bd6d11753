"""Send what waits in the outbox. For the system's timer, once a minute."""

from typing import Any

from django.utils import timezone
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.orders.outbox import send_due


class Command(ShopCommand):
    help = gettext_lazy("Send the mail that waits in the outbox, and say what became of it.")

    def handle(self, *args: Any, **options: Any) -> None:
        ended = send_due(timezone.now())
        self.stdout.write(
            ", ".join(f"{count} {state}" for state, count in sorted(ended.items())) or gettext("nothing to send")
        )
