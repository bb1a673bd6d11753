"""Make one more copy of all of the shop's data."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import CommandError
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.copies.make import KEEP, make_copy
from shop.copies.refusals import CopyRefused
from shop.copies.sealed import new_key
from shop.copies.site import Site


class Command(ShopCommand):
    help = gettext_lazy(
        "Copy database and files into one file while people work, and delete copies beyond the newest few."
    )

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
        parser.add_argument(
            "--encrypt-to", action="append", default=[], metavar="age1…", help=gettext("whose key alone opens the copy")
        )
        parser.add_argument(
            "--new-key", type=Path, metavar="FILE", help=gettext("only make a key, and say what to encrypt to")
        )

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
        held = gettext("{sum} rows in {rows} tables, {attachments} files").format(
            sum=f"{sum(manifest.rows.values()):,}", rows=len(manifest.rows), attachments=f"{manifest.attachments:,}"
        )
        self.stdout.write(
            gettext("Copied {DATA_DIR} to {path}: {held}.").format(
                DATA_DIR=settings.DATA_DIR, path=made.path, held=held
            )
        )
        self.stdout.write(gettext("Bring it back with: manage.py restore {path}").format(path=made.path))
        for path in made.gone:
            self.stdout.write(
                gettext("Deleted the copy {name}: the newest {keep} are kept.").format(name=path.name, keep=keep)
            )
        for name in manifest.missing:
            self.stderr.write(
                gettext("A record names {name}, which is not on the disk; the copy cannot hold it.").format(name=name)
            )
        for name in made.left_out:
            self.stderr.write(gettext("{name} is a link, not a file, and is not in the copy.").format(name=name))

    def _make_key(self, path: Path) -> None:
        public = new_key(path)
        self.stdout.write(
            gettext("{path} holds the key: keep it away from this machine, on paper too. Copy with:").format(path=path)
        )
        self.stdout.write(gettext("  manage.py backup --encrypt-to {public}").format(public=public))
