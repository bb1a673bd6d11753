"""Where a form may take an input from: dimensions by their names, hole patterns by their numbers."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from specs.models import Component, Dimension, HolePattern


def spaced(text: str) -> str:
    """A name as it is compared: case and spaces make no difference."""
    return " ".join(text.split()).casefold()


@dataclass
class Sources:
    """The dimensions and patterns that one form takes."""

    kinds: frozenset[str]
    first: Component | None = None

    @cached_property
    def dimensions(self) -> list[Dimension]:
        """Every dimension of these kinds, those of the worksheet's own component first."""
        found = list(Dimension.objects.filter(kind__in=self.kinds).select_related("component"))
        return sorted(found, key=lambda dimension: (dimension.component_id != self.own, str(dimension)))

    @cached_property
    def _by_name(self) -> dict[str, list[Dimension]]:
        named: dict[str, list[Dimension]] = {}
        for dimension in self.dimensions:
            named.setdefault(spaced(str(dimension)), []).append(dimension)
        return named

    def named(self, text: str) -> list[Dimension]:
        """The dimensions of that name: one, or none, or more where two components are called alike."""
        return self._by_name.get(spaced(text), [])

    def pattern(self, key: str) -> HolePattern | None:
        """The pattern of that number, if it is one that stands."""
        number = as_number(key)
        return HolePattern.objects.active().select_related("component").filter(pk=number).first() if number else None

    @property
    def own(self) -> int | None:
        """The number of the worksheet's own component."""
        return self.first.pk if self.first else None


def as_number(key: str) -> int:
    """The number that was chosen or typed; 0 for what is none that a record can have."""
    return int(key) if key.isdecimal() and len(key) < 10 else 0
