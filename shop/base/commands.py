"""What every command of the shop begins with."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand, CommandParser


class ShopCommand(BaseCommand):
    """A command whose `--help` is said in the shop's language: argparse takes a phrase's letters, which are English."""

    def create_parser(self, prog_name: str, subcommand: str, **kwargs: Any) -> CommandParser:
        parser = super().create_parser(prog_name, subcommand, **kwargs)
        parser.description = str(self.help)
        return parser
