"""Answer calculations from standard input, as JSON."""

from __future__ import annotations

import gc
import json
import sys
from typing import Any

from django.core.management.base import CommandParser
from django.utils.translation import gettext

from shop.base.commands import ShopCommand
from shop.base.language import gettext_lazy
from specs.engine.response import answer_lines, respond_to_text

_REFUSED = 2


class Command(ShopCommand):
    """`calculate NAME -` answers one request; `calculate --lines -` one request a line, in order."""

    help = gettext_lazy("Answer one calculation (NAME -) or one a line (--lines -) from standard input, as JSON.")
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Take a calculation's name, or --lines."""
        parser.add_argument("name", nargs="?", help=gettext("the calculation, such as fastener-torque"))
        parser.add_argument("input", nargs="?", choices=["-"], help=gettext("- for standard input"))
        parser.add_argument("--lines", choices=["-"], help=gettext("answer one request a line"))

    def handle(self, *args: Any, **options: Any) -> None:
        """Answer, and leave with 2 where a single request was refused."""
        if options["lines"]:
            # Answers hold no circles of objects: what looks for them is called once in a while, not thousands of times.
            gc.set_threshold(100_000)
            return answer_lines(sys.stdin, sys.stdout)
        return self._answer_one(options["name"])

    def _answer_one(self, name: str | None) -> None:
        answered = respond_to_text(sys.stdin.read(), name)
        print(json.dumps(answered), file=sys.stdout)
        if "errors" in answered:
            sys.exit(_REFUSED)
