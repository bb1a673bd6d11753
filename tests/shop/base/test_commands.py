"""Every command says in the shop's language what it does."""

from importlib import import_module
from pathlib import Path

import pytest

import shop.management.commands as package
from tests.pseudo import in_pseudo, pseudo

NAMES = sorted(path.stem for path in Path(package.__path__[0]).glob("[a-z]*.py"))


@pytest.mark.parametrize("name", NAMES)
def test_the_help_of_a_command_is_said_in_the_language_of_the_shop(name: str) -> None:
    command = import_module(f"{package.__name__}.{name}").Command()
    english = " ".join(command.create_parser("manage.py", name).format_help().split())
    assert " ".join(str(command.help).split())[:40] in english
    with in_pseudo():
        said = " ".join(command.create_parser("manage.py", name).format_help().split())
        assert " ".join(pseudo(command.help).split())[:40] in said
