"""Take in the replies that wait in the mailbox. For the system's timer, every few minutes."""

from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone
from django.utils.translation import gettext
from imap_tools import ImapToolsError

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.replies.mailbox import in_words, is_named, read_mailbox


class Command(ShopCommand):
    help = gettext_lazy("Take in the replies that wait in the mailbox, and say how many.")

    def handle(self, *args: Any, **options: Any) -> None:
        if not is_named():
            self.stdout.write(gettext("no mailbox is named: SHOP_IMAP_HOST"))
            return
        try:
            taken = read_mailbox(timezone.now())
        except (OSError, ImapToolsError) as trouble:
            raise CommandError(in_words(trouble)) from None
        self.stdout.write(
            gettext("{new} taken in, {passed_over} passed over").format(new=taken.new, passed_over=taken.passed_over)
        )
