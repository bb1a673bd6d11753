"""Work out again what every order line owes, and compare it with what its columns say."""

from argparse import ArgumentParser
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.orders.line_status import differing, restate
from shop.orders.models import OrderLine


class Command(BaseCommand):
    help = "Compare what is kept of every order line with what its promises, deliveries and returns come to."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--mend", action="store_true", help="write what is right where they differ")

    def handle(self, *args: Any, **options: Any) -> None:
        found = list(differing(OrderLine.objects.all()))
        for key, kept, now in found:
            told = ", ".join(f"{name} {kept[name]} is {now[name]}" for name in kept if kept[name] != now[name])
            self.stdout.write(f"line {key}: {told}")
        if options["mend"]:
            restate([key for key, _, _ in found])
        elif found:
            raise CommandError(f"{len(found)} lines differ. Mend them with: manage.py check_lines --mend")
        self.stdout.write(f"{OrderLine.objects.count()} lines looked at, {len(found)} differed.")
