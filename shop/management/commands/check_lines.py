"""Work out again what every order line owes, and compare it with what its columns say."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import CommandError
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.orders.line_status import differing, restate
from shop.orders.models import OrderLine


class Command(ShopCommand):
    help = gettext_lazy(
        "Compare what is kept of every order line with what its promises, deliveries and returns come to."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--mend", action="store_true", help=gettext("write what is right where they differ"))

    def handle(self, *args: Any, **options: Any) -> None:
        found = list(differing(OrderLine.objects.all()))
        for key, kept, now in found:
            told = ", ".join(f"{name} {kept[name]} is {now[name]}" for name in kept if kept[name] != now[name])
            self.stdout.write(gettext("line {key}: {told}").format(key=key, told=told))
        if options["mend"]:
            restate([key for key, _, _ in found])
        elif found:
            raise CommandError(
                gettext("{found} lines differ. Mend them with: manage.py check_lines --mend").format(found=len(found))
            )
        self.stdout.write(
            gettext("{count} lines looked at, {found} differed.").format(
                count=OrderLine.objects.count(), found=len(found)
            )
        )
