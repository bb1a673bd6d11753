"""Bring a copy of the shop's data back."""

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import CommandError
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.base.restores import STEP
from shop.copies.bring_back import NUMBERS_ABOVE, bring_back
from shop.copies.refusals import CopyRefused
from shop.copies.site import Site


class Command(ShopCommand):
    help = gettext_lazy("Check a copy made by backup whole, then put it into an empty data folder or database.")
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("copy", type=Path)
        parser.add_argument("--key", type=Path, metavar="FILE", help=gettext("key of an encrypted copy"))
        parser.add_argument(
            "--set-aside",
            action="store_true",
            help=gettext("keep what is there under another name, then bring the copy back"),
        )

    def handle(self, *args: Any, copy: Path, key: Path | None, set_aside: bool, **options: Any) -> None:
        try:
            back = bring_back(Site.of_settings(), copy, now=timezone.now(), set_aside=set_aside, key=key)
        except CopyRefused as refused:
            raise CommandError(
                gettext("Not brought back, nothing was changed. {refused}").format(refused=refused)
            ) from None
        for place in back.set_aside:
            self.stdout.write(gettext("What was there is kept as {place}.").format(place=place))
        manifest = back.manifest
        self.stdout.write(
            gettext(
                "Brought back from {copy}, made {made_at} UTC: "
                "{sum} rows, {attachments} files, all equal to the copy.\n"
                "Numbers of new records go on {NUMBERS_ABOVE} above the copy's, those of printed sheets {STEP} above: "
                "what was printed since keeps its number to itself.\n"
                "Run manage.py migrate before serving: the copy may be older."
            ).format(
                copy=copy,
                made_at=f"{manifest.made_at:%Y-%m-%d %H:%M}",
                sum=f"{sum(manifest.rows.values()):,}",
                attachments=f"{manifest.attachments:,}",
                NUMBERS_ABOVE=NUMBERS_ABOVE,
                STEP=STEP,
            )
        )
