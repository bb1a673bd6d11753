"""Make one more copy of all of the shop's data."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError
from django.utils import timezone

from shop.copies.make import KEEP, make_copy
from shop.copies.refusals import CopyRefused
from shop.copies.sealed import new_key
from shop.copies.site import Site


class Command(BaseCommand):
    help = "Copy database and files into one file while people work, and delete copies beyond the newest few."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--into", type=Path, default=settings.SHOP_COPIES, help=f"folder ({settings.SHOP_COPIES})")
        parser.add_argument("--keep", type=int, default=KEEP, help=f"how many copies the folder keeps ({KEEP})")
        parser.add_argument(
            "--encrypt-to", action="append", default=[], metavar="age1…", help="whose key alone opens the copy"
        )
        parser.add_argument("--new-key", type=Path, metavar="FILE", help="only make a key, and say what to encrypt to")

    def handle(
        self, *args: Any, into: Path, keep: int, encrypt_to: list[str], new_key: Path | None, **options: Any
    ) -> None:
        try:
            if new_key:
                self._make_key(new_key)
                return
            made = make_copy(Site.of_settings(), into, now=timezone.now(), keep=keep, encrypt_to=encrypt_to)
        except CopyRefused as refused:
            raise CommandError(str(refused)) from None
        manifest = made.manifest
        held = f"{sum(manifest.rows.values()):,} rows in {len(manifest.rows)} tables, {manifest.attachments:,} files"
        self.stdout.write(f"Copied {settings.DATA_DIR} to {made.path}: {held}.")
        self.stdout.write(f"Bring it back with: manage.py restore {made.path}")
        for path in made.gone:
            self.stdout.write(f"Deleted the copy {path.name}: the newest {keep} are kept.")
        for name in manifest.missing:
            self.stderr.write(f"A record names {name}, which is not on the disk; the copy cannot hold it.")
        for name in made.left_out:
            self.stderr.write(f"{name} is a link, not a file, and is not in the copy.")

    def _make_key(self, path: Path) -> None:
        public = new_key(path)
        self.stdout.write(f"{path} holds the key: keep it away from this machine, on paper too. Copy with:")
        self.stdout.write(f"  manage.py backup --encrypt-to {public}")
