"""Open sign-in again after too many wrong passwords."""

from argparse import ArgumentParser
from typing import Any

from axes.models import AccessAttempt
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.people.tries import addresses_shut


class Command(ShopCommand):
    help = gettext_lazy("Open sign-in at once: for one name, from one address, or for all when neither is given.")

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("username", nargs="?", help=gettext("name to sign in with"))
        parser.add_argument("--address", help=gettext("network address that the wrong tries came from"))

    def handle(self, *args: Any, username: str | None, address: str | None, **options: Any) -> None:
        tries = AccessAttempt.objects.all()
        if username:
            tries = tries.filter(username=username)
        if address:
            tries = tries.filter(ip_address=address)
        names, gone = sorted(set(tries.values_list("username", flat=True))), tries.delete()[0]
        self.stdout.write(
            gettext("Open again: {map}.").format(map=", ".join(map(str, names)))
            if gone
            else gettext("Nothing was shut there.")
        )
        for still in addresses_shut():
            self.stdout.write(
                gettext("Still shut to new browsers, for many names were tried: unlock --address {still}").format(
                    still=still
                )
            )
