"""Answer calculations from standard input, as JSON."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterable
from typing import IO, Any

from django.core.management.base import BaseCommand, CommandParser

from specs.engine.response import respond

_REFUSED = 2


class Command(BaseCommand):
    """`calculate NAME -` answers one request; `calculate --lines -` one request a line, in order."""

    help = "Answer one calculation (NAME -) or one a line (--lines -) from standard input, as JSON."
    requires_system_checks: list[str] = []

    def add_arguments(self, parser: CommandParser) -> None:
        """Take a calculation's name, or --lines."""
        parser.add_argument("name", nargs="?", help="the calculation, such as fastener-torque")
        parser.add_argument("input", nargs="?", choices=["-"], help="- for standard input")
        parser.add_argument("--lines", choices=["-"], help="answer one request a line")

    def handle(self, *args: Any, **options: Any) -> None:
        """Answer, and leave with 2 where a single request was refused."""
        if options["lines"]:
            return answer_lines(sys.stdin, sys.stdout)
        return self._answer_one(options["name"])

    def _answer_one(self, name: str | None) -> None:
        answered = _respond_to_text(sys.stdin.read(), name)
        print(json.dumps(answered), file=sys.stdout)
        if "errors" in answered:
            sys.exit(_REFUSED)


def answer_lines(requests: Iterable[str], to: IO[str]) -> None:
    """Answer each line with one line, errors included, in order; nothing that a line holds ends the batch."""
    for line in requests:
        to.write(f"{json.dumps(_respond_to_line(line))}\n")


class _Repeated(ValueError):
    """A JSON object that names one key twice: which value is meant is anybody's guess."""


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    held = dict(pairs)
    if len(held) < len(pairs):
        raise _Repeated(next(name for at, (name, _) in enumerate(pairs) if name in dict(pairs[:at])))
    return held


_READ = json.JSONDecoder(object_pairs_hook=_once_each)


def _respond_to_text(text: str, name: str | None) -> dict[str, Any]:
    return _respond(text, "must be one JSON object of input names and values.", lambda request: respond(name, request))


def _respond_to_line(line: str) -> dict[str, Any]:
    if not line.strip():
        return {"errors": {"inputs": f"nothing stands in this line; it {_LINE}"}}
    return _respond(line, _LINE, _answer_line)


_LINE = 'must be a JSON object {"calculation": ..., "inputs": {...}}.'


def _respond(text: str, needed: str, answer: Callable[[dict[str, Any]], dict[str, Any]]) -> dict[str, Any]:
    try:
        request = _READ.decode(text)
    except _Repeated as repeated:
        return {"errors": {str(repeated): "is given twice; give it once."}}
    except (ValueError, RecursionError):
        request = None
    if not isinstance(request, dict):
        return {"errors": {"inputs": needed}}
    try:
        return answer(request)
    except Exception as fault:  # noqa: BLE001 (a fault of ours is told in its place; the other lines are answered)
        return {"errors": {"inputs": f"cannot be worked out: a fault of this program ({type(fault).__name__})."}}


def _answer_line(request: dict[str, Any]) -> dict[str, Any]:
    unknown = request.keys() - {"calculation", "inputs"}
    if unknown:
        return {"errors": dict.fromkeys(sorted(unknown), f"is not known beside inputs: a line {_LINE}")}
    return respond(request.get("calculation"), request.get("inputs", {}))
