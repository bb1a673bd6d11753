"""Copy all of the shop's data."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.management.copies import CopyRefused, make_copy


class Command(BaseCommand):
    help = "Copy database and files into a new folder while people work, and see that the copy is whole."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path)

    def handle(self, *args: Any, folder: Path, **options: Any) -> None:
        try:
            make_copy(folder)
        except CopyRefused as reason:
            raise CommandError(str(reason)) from None
        self.stdout.write(f"Copied to {folder}. Bring it back with: manage.py restore {folder}")
