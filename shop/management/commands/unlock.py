"""Open sign-in again after too many wrong passwords."""

from argparse import ArgumentParser
from typing import Any

from axes.models import AccessAttempt
from django.core.management.base import BaseCommand

from shop.people.tries import addresses_shut


class Command(BaseCommand):
    help = "Open sign-in at once: for one name, from one address, or for all when neither is given."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("username", nargs="?", help="name to sign in with")
        parser.add_argument("--address", help="network address that the wrong tries came from")

    def handle(self, *args: Any, username: str | None, address: str | None, **options: Any) -> None:
        tries = AccessAttempt.objects.all()
        if username:
            tries = tries.filter(username=username)
        if address:
            tries = tries.filter(ip_address=address)
        names, gone = sorted(set(tries.values_list("username", flat=True))), tries.delete()[0]
        self.stdout.write(f"Open again: {', '.join(map(str, names))}." if gone else "Nothing was shut there.")
        for still in addresses_shut():
            self.stdout.write(f"Still shut to new browsers, for many names were tried: unlock --address {still}")
