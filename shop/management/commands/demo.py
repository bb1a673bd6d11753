"""Set up and open the workshop with invented records (`shop.demo.making`)."""

from argparse import ArgumentParser
from collections.abc import Iterator
from typing import Any

from django.apps import apps
from django.conf import settings
from django.contrib.auth.models import User
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db.models import Model
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.demo.making import make_demo, names_taken
from shop.demo.models import DemoMark
from shop.demo.world import PASSWORD, PEOPLE
from shop.management.schema import SchemaRefused, prepare_tables, refuse_other_schema


class Command(ShopCommand):
    help = gettext_lazy("Make the demo in an empty database, say who can sign in, and serve it on this machine.")
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--no-serve", action="store_true", help=gettext("stop before serving"))
        parser.add_argument("--port", type=int, default=8000, help=gettext("port to serve on (8000)"))
        parser.add_argument(
            "--into-existing", action="store_true", help=gettext("add the demo to a database that holds other records")
        )

    def handle(self, *args: Any, **options: Any) -> None:
        if settings.PRODUCTION:
            raise CommandError(
                gettext("The demo's passwords are known to all, so it never runs with production settings.")
            )
        try:
            refuse_other_schema(may_be_behind=True)
        except SchemaRefused as refused:
            raise CommandError(str(refused)) from None
        prepare_tables()
        self._make(options["into_existing"])
        self._say_who()
        if not options["no_serve"]:
            self.stdout.write(f"\nOpen http://127.0.0.1:{options['port']}/ (Ctrl+C stops it)\n")
            call_command("runserver", f"127.0.0.1:{options['port']}", use_reloader=False, verbosity=0)

    def _make(self, into_existing: bool) -> None:
        if is_demo():
            self.stdout.write(gettext("The demo is here already and stays as it is."))
            return
        if holds_records() and not into_existing:
            raise CommandError(
                gettext(
                    "This database holds records that are not the demo's, so it is left alone. "
                    "Point SHOP_DATA at an empty folder, or add --into-existing to mix the demo in."
                )
            )
        if taken := names_taken():
            raise CommandError(
                gettext("These sign-in names of the demo belong to somebody here already: {taken}.").format(
                    taken=", ".join(taken)
                )
            )
        make_demo(timezone.localdate())
        self.stdout.write(gettext("The demo is made."))

    def _say_who(self) -> None:
        self.stdout.write(gettext("\nWho can sign in, all with the password {PASSWORD}:").format(PASSWORD=PASSWORD))
        for name, first, last, role in PEOPLE:
            self.stdout.write(f"  {name:8}{role:12}{first} {last}")


def is_demo() -> bool:
    return DemoMark.objects.exists()


def holds_records() -> bool:
    """Whether anything at all was written here: a person, or a record of any area."""
    return User.objects.exists() or any(model._default_manager.exists() for model in _models_of_ours())


def _models_of_ours() -> Iterator[type[Model]]:
    for app in apps.get_app_configs():
        if app.name.split(".")[0] in ("shop", "specs"):
            yield from (model for model in app.get_models() if model is not DemoMark)
