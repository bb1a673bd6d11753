"""Every address of the site: its view's declaration, and example values for those with a part to fill in.

A room with such addresses has ``tests/access/<room>.py`` with ``examples(people)``, which makes the records it needs.
Its keys are the addresses up to a record's number (``{"jobs/steps/": step}`` serves every address below it), or the
name of an address with other parts (``{"measuring:pattern-compare": {"pk": 7, "other": 8}}``).
"""

from collections.abc import Iterator
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path
from typing import Any

from django.contrib.auth.models import User
from django.urls import URLPattern, URLResolver, get_resolver

FOLDER = Path(__file__).parent / "access"


@dataclass(frozen=True)
class Address:
    """One address: its name, the parts that it needs, and what its view declares."""

    name: str
    route: str
    parts: tuple[str, ...]
    view: Any

    @property
    def methods(self) -> tuple[str, ...]:
        return getattr(self.view, "methods", ("GET", "HEAD", "POST"))

    @property
    def action(self) -> str:
        return getattr(self.view, "action", "")


def addresses() -> dict[str, Address]:
    """Every address by its name."""
    return {found.name: found for found in _walk(get_resolver(), (), "")}


def _walk(resolver: URLResolver, spaces: tuple[str, ...], before: str) -> Iterator[Address]:
    for entry in resolver.url_patterns:
        route = before + str(entry.pattern)
        if isinstance(entry, URLPattern):
            assert entry.name, f"{entry.pattern} has no name"
            yield Address(":".join((*spaces, entry.name)), route, tuple(entry.pattern.converters), entry.callback)
        else:
            yield from _walk(entry, (*spaces, entry.namespace) if entry.namespace else spaces, route)


def records_of_rooms(people: dict[str, User]) -> tuple[dict[str, Any], dict[str, dict[str, Any]]]:
    """The records that the rooms' files make, by the address before their number; and values by an address's name."""
    records: dict[str, Any] = {}
    values: dict[str, dict[str, Any]] = {}
    for file in sorted(FOLDER.glob("[a-z]*.py")):
        of_room = import_module(f"tests.access.{file.stem}").examples(people)
        records |= {key: record for key, record in of_room.items() if key.endswith("/")}
        values |= {key: parts for key, parts in of_room.items() if not key.endswith("/")}
    return records, values


def examples(people: dict[str, User]) -> dict[str, dict[str, Any]]:
    """Values for the parts of every address that has some, from records made for it, once for all."""
    records, values = records_of_rooms(people)
    for address in addresses().values():
        before, part, _ = address.route.partition("<int:pk>")
        if address.name not in values and address.parts == ("pk",) and part and before in records:
            values[address.name] = {"pk": records[before].pk}
    return values
