"""Serve the workshop: pages and timed work, kept running."""

import os
import sys
from argparse import SUPPRESS, ArgumentParser
from io import StringIO
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError

from shop.serving.pages import DRAINS_WITHIN, PROCESSES, THREADS, Pages
from shop.serving.refusals import StartRefused, refuse_start, refuse_static
from shop.serving.supervisor import Kept, Supervisor, end_with_parent
from shop.serving.timed import TimedWork


class Command(BaseCommand):
    help = "Serve the pages and do the timed work (mail, copies, rehearsal, tidying) until told to stop."
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--bind", default=settings.SHOP_BIND, help=f"address and port ({settings.SHOP_BIND})")
        parser.add_argument("--processes", type=int, default=PROCESSES, help=f"processes for pages ({PROCESSES})")
        parser.add_argument("--threads", type=int, default=THREADS, help=f"threads in each ({THREADS})")
        parser.add_argument("--no-timed", action="store_true", help="pages only: something else runs the timed work")
        parser.add_argument("--part", choices=["pages", "timed"], help=SUPPRESS)
        parser.add_argument("--pipe", type=int, help=SUPPRESS)

    def handle(self, *args: Any, **options: Any) -> None:
        os.umask(0o077)
        if options["part"]:
            end_with_parent()
        if options["part"] == "pages":
            Pages(options["bind"], options["processes"], options["threads"]).run()
        elif options["part"] == "timed":
            TimedWork(options["pipe"]).run()
        else:
            self._serve(options)

    def _serve(self, options: dict[str, Any]) -> None:
        if not settings.PRODUCTION:
            raise CommandError("Serving to others needs SHOP_SECRET_KEY and SHOP_HOSTS; README.md says how.")
        try:
            refuse_start()
            self._collect()
            refuse_static()
        except StartRefused as refused:
            raise CommandError(f"Not started. {refused}") from None
        self.stdout.write(f"Version {settings.VERSION} serves on {options['bind']}; SIGTERM stops it.")
        self.stdout.flush()
        sys.exit(Supervisor(self._processes(options), drains_within=DRAINS_WITHIN + 5).run())

    def _collect(self) -> None:
        try:
            call_command("collectstatic", interactive=False, verbosity=0, stdout=StringIO())
        except OSError as fault:
            raise StartRefused(
                f"The static files cannot be written to {settings.STATIC_ROOT}: {fault.strerror}."
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
        pages = Kept("pages", [*again, "pages", *sized], needed=True)
        timed = Kept("timed", [*again, "timed", "--pipe"], beats=True)
        return [pages] if options["no_timed"] else [pages, timed]
