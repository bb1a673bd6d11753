"""Every address of the site, by name, and example values for those with a part to fill in.

An area with such addresses has ``tests/access/<area>.py`` with ``examples(people)``, which makes the records it needs
and returns the values by address name: ``{"orders:change": {"pk": 7}}``.
"""

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.urls import URLPattern, URLResolver, get_resolver

FOLDER = Path(__file__).parent / "access"
READERS = ("anonymous", "owner", "fitter", "machinist", "buyer")
METHODS = ("GET", "POST")


@dataclass(frozen=True)
class Row:
    """One line of the table: who gets which answer from an address under a method."""

    name: str
    method: str
    answers: dict[str, str]


def table() -> list[Row]:
    """The checked-in table, one CSV an area."""
    return [
        _row(line) for file in sorted(FOLDER.glob("*.csv")) for line in csv.DictReader(file.read_text().splitlines())
    ]


def _row(line: dict[str, str]) -> Row:
    return Row(line["name"], line["method"], {reader: line[reader] for reader in READERS})


def parts() -> dict[str, dict[str, Any]]:
    """Every address name with the parts that it needs and their converters."""
    return {name: pattern.pattern.converters for name, pattern in _walk(get_resolver(), ())}


def _walk(resolver: URLResolver, spaces: tuple[str, ...]) -> Iterator[tuple[str, URLPattern]]:
    for entry in resolver.url_patterns:
        if isinstance(entry, URLPattern):
            assert entry.name, f"{entry.pattern} has no name"
            yield ":".join((*spaces, entry.name)), entry
        else:
            yield from _walk(entry, (*spaces, entry.namespace) if entry.namespace else spaces)


def example(name: str, people: dict[str, User]) -> dict[str, Any]:
    """Values for the parts of one address, from records made for it; the area of that name is asked first."""
    area = name.partition(":")[0]
    for file in sorted(FOLDER.glob("*.py"), key=lambda file: file.stem != area):
        found = import_module(f"tests.access.{file.stem}").examples(people) if file.stem != "__init__" else {}
        if name in found:
            return found[name]
    raise LookupError(f"tests/access/<area>.py: examples() gives no values for {name}")
