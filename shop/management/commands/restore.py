"""Bring a copy of the shop's data back."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from shop.management.copies import CopyRefused, bring_back


class Command(BaseCommand):
    help = "Bring a copy made by backup back into an empty data folder or database."
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path)

    def handle(self, *args: Any, folder: Path, **options: Any) -> None:
        try:
            bring_back(folder)
        except CopyRefused as reason:
            raise CommandError(str(reason)) from None
        self.stdout.write(f"Brought back from {folder}. Run manage.py migrate before serving: the copy may be older.")
