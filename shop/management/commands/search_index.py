"""Make anew what records are found by, or say where it is not what it should be."""

from typing import Any

from django.core.management.base import CommandError, CommandParser
from django.utils.translation import gettext

from shop.base import search_index
from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy


class Command(ShopCommand):
    help = gettext_lazy(
        "Make the index of Search anew from all records; --check says what is wrong with it and changes nothing."
    )

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument(
            "--check", action="store_true", help=gettext("compare only; fails where a record is not found")
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if not options["check"]:
            self.stdout.write(gettext("{rebuild} records are found.").format(rebuild=search_index.rebuild()))
        elif wrong := search_index.differences():
            raise CommandError("\n".join(wrong))
        else:
            self.stdout.write(gettext("Every record is found by its words of today."))
