"""Prove the newest copy: bring it back where nobody sees it, and compare."""

import signal
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import CommandError
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.copies.refusals import CopyRefused
from shop.copies.rehearse import rehearse
from shop.copies.site import Site


class Command(ShopCommand):
    help = gettext_lazy(
        "Bring the newest copy back into nothing, compare every count and digest, and record the result and the day."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "copies", type=Path, nargs="?", default=settings.SHOP_COPIES, help=gettext("a folder, or one copy")
        )
        parser.add_argument("--key", type=Path, metavar="FILE", help=gettext("key of an encrypted copy"))

    def handle(self, *args: Any, copies: Path, key: Path | None, **options: Any) -> None:
        if self.stdout.isatty():  # Who closes the terminal meanwhile finds the result on Today.
            signal.signal(signal.SIGHUP, signal.SIG_IGN)
        self.stdout.write(
            gettext("Bringing back {copies} where nobody sees it. Today shows the result as well.").format(
                copies=copies
            )
        )
        try:
            proof = rehearse(Site.of_settings(), copies, now=timezone.now(), key=key)
        except CopyRefused as refused:
            raise CommandError(gettext("The copy does not come back: {refused}").format(refused=refused)) from None
        self.stdout.write(gettext("{copy} came back whole and equal.").format(copy=proof.copy))
        if proof.missing:
            self.stderr.write(
                gettext("{missing} files that its records name were gone when it was made.").format(
                    missing=proof.missing
                )
            )
