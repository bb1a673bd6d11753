"""Serve the workshop: pages and timed work, kept running."""

import os
import sys
from argparse import SUPPRESS, ArgumentParser
from io import StringIO
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandError
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.serving.pages import DRAINS_WITHIN, PROCESSES, THREADS, Pages
from shop.serving.refusals import StartRefused, refuse_start, refuse_static
from shop.serving.supervisor import Kept, become_supervisor, end_with_parent
from shop.serving.timed import TimedWork


class Command(ShopCommand):
    help = gettext_lazy("Serve the pages and do the timed work (mail, copies, rehearsal, tidying) until told to stop.")
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--bind",
            default=settings.SHOP_BIND,
            help=gettext("address and port ({SHOP_BIND})").format(SHOP_BIND=settings.SHOP_BIND),
        )
        parser.add_argument(
            "--processes",
            type=int,
            default=PROCESSES,
            help=gettext("processes for pages ({PROCESSES})").format(PROCESSES=PROCESSES),
        )
        parser.add_argument(
            "--threads", type=int, default=THREADS, help=gettext("threads in each ({THREADS})").format(THREADS=THREADS)
        )
        parser.add_argument(
            "--no-timed", action="store_true", help=gettext("pages only: something else runs the timed work")
        )
        parser.add_argument("--part", choices=["pages", "timed"], help=SUPPRESS)
        parser.add_argument("--pipe", type=int, help=SUPPRESS)

    def handle(self, *args: Any, **options: Any) -> None:
        os.umask(0o077)
        if options["part"]:
            end_with_parent()
        if options["part"] == "pages":
            Pages(options["bind"], options["processes"], options["threads"], alone=options["no_timed"]).run()
        elif options["part"] == "timed":
            TimedWork(options["pipe"]).run()
        else:
            self._serve(options)

    def _serve(self, options: dict[str, Any]) -> None:
        if not settings.PRODUCTION:
            raise CommandError(gettext("Serving to others needs SHOP_SECRET_KEY and SHOP_HOSTS; README.md says how."))
        try:
            refuse_start()
            self._collect()
            refuse_static()
        except StartRefused as refused:
            raise CommandError(gettext("Not started. {refused}").format(refused=refused)) from None
        self.stdout.write(
            gettext("Version {VERSION} serves on {options}; SIGTERM stops it.").format(
                VERSION=settings.VERSION, options=options["bind"]
            )
        )
        self.stdout.flush()
        become_supervisor(self._processes(options), drains_within=DRAINS_WITHIN + 5)

    def _collect(self) -> None:
        try:
            call_command("collectstatic", interactive=False, verbosity=0, stdout=StringIO())
        except OSError as fault:
            raise StartRefused(
                gettext("The static files cannot be written to {STATIC_ROOT}: {strerror}.").format(
                    STATIC_ROOT=settings.STATIC_ROOT, strerror=fault.strerror
                )
            ) from None

    def _processes(self, options: dict[str, Any]) -> list[Kept]:
        again = [sys.executable, sys.argv[0], "serve", "--part"]
        sized = [
            "--bind",
            options["bind"],
            "--processes",
            str(options["processes"]),
            "--threads",
            str(options["threads"]),
        ]
        pages = [*again, "pages", *sized]
        if options["no_timed"]:
            return [Kept("pages", [*pages, "--no-timed"], needed=True)]
        return [Kept("pages", pages, needed=True), Kept("timed", [*again, "timed", "--pipe"], beats=True)]
