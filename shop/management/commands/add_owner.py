"""Let the first owner in."""

from argparse import ArgumentParser
from getpass import getpass
from typing import Any

from django.contrib.auth.models import User
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import CommandError
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from shop.base.roles import OWNER
from shop.people.changes import add_person


class Command(ShopCommand):
    help = gettext_lazy("Add a person who may do everything; everybody else is then added on the People page.")

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("username", help=gettext("name to sign in with"))
        parser.add_argument("first_name")
        parser.add_argument("last_name")

    def handle(self, *args: Any, username: str, first_name: str, last_name: str, **options: Any) -> None:
        if User.objects.filter(username__iexact=username).exists():
            raise CommandError(gettext("Somebody signs in as {username} already.").format(username=username))
        try:
            password = getpass("Password: ")
            validate_password(password, user=User(username=username, first_name=first_name, last_name=last_name))
        except EOFError:
            raise CommandError(gettext("No password was given.")) from None
        except ValidationError as reason:
            raise CommandError(" ".join(reason.messages)) from None
        add_person(
            person=None, username=username, first_name=first_name, last_name=last_name, role=OWNER, password=password
        )
        self.stdout.write(
            gettext("{first_name} {last_name} can sign in as {username}.").format(
                first_name=first_name, last_name=last_name, username=username
            )
        )
