"""Print the unit for systemd."""

import sys
from argparse import ArgumentParser
from getpass import getuser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.serving.units import unit


class Command(ShopCommand):
    help = gettext_lazy("Print the unit by which systemd starts the workshop with the machine and keeps it running.")
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument(
            "--user", default=getuser(), help=gettext("who the site runs as ({getuser})").format(getuser=getuser())
        )
        parser.add_argument(
            "--environment",
            type=Path,
            default=Path("/etc/workshop.env"),
            help=gettext("file of settings (/etc/workshop.env)"),
        )

    def handle(self, *args: Any, user: str, environment: Path, **options: Any) -> None:
        text = unit(
            site=settings.BASE_DIR,
            python=Path(sys.executable).absolute(),
            environment=environment,
            user=user,
            writable=sorted({Path(settings.DATA_DIR).absolute(), Path(settings.SHOP_COPIES).absolute()}),
            postgres=settings.DATABASES["default"]["ENGINE"].endswith("postgresql"),
        )
        self.stdout.write(text, ending="")
