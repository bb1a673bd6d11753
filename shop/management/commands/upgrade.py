"""Bring the database to this version of the program, or back."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import CommandError
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.copies.make import KEEP
from shop.copies.refusals import CopyRefused
from shop.copies.site import Site
from shop.copies.upgrade import upgrade


class Command(ShopCommand):
    help = gettext_lazy("Copy all data, prove the copy, migrate, and look; whatever fails, all is put back as it was.")
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--into",
            type=Path,
            default=settings.SHOP_COPIES,
            help=gettext("folder ({SHOP_COPIES})").format(SHOP_COPIES=settings.SHOP_COPIES),
        )
        parser.add_argument(
            "--keep",
            type=int,
            default=KEEP,
            help=gettext("how many copies the folder keeps ({KEEP})").format(KEEP=KEEP),
        )

    def handle(self, *args: Any, into: Path, keep: int, **options: Any) -> None:
        try:
            done = upgrade(Site.of_settings(), into, now=timezone.now(), keep=keep)
        except CopyRefused as refused:
            raise CommandError(str(refused)) from None
        self.stdout.write(
            gettext("{changes} changes made, no row lost. The proven copy from before is {copy}.").format(
                changes=len(done.changes), copy=done.copy
            )
        )
