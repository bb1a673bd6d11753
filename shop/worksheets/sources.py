"""Where a form may take an input from: dimensions by their names, hole patterns by their keys."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from specs.models import Component, Dimension, HolePattern

_MOST_SHOWN = 400


def spaced(text: str) -> str:
    """A name as it is compared: case and spaces make no difference."""
    return " ".join(text.split()).casefold()


@dataclass
class Sources:
    """The dimensions and patterns that one form offers; each read once, in one query."""

    kinds: frozenset[str]
    first: Component | None = None
    patterns_wanted: bool = False

    @cached_property
    def dimensions(self) -> list[Dimension]:
        """Every dimension of these kinds, those of the worksheet's own component first."""
        found = list(Dimension.objects.filter(kind__in=self.kinds).select_related("component"))
        own = self.first.pk if self.first else None
        return sorted(found, key=lambda dimension: (dimension.component_id != own, str(dimension)))

    @cached_property
    def _by_name(self) -> dict[str, list[Dimension]]:
        named: dict[str, list[Dimension]] = {}
        for dimension in self.dimensions:
            named.setdefault(spaced(str(dimension)), []).append(dimension)
        return named

    @cached_property
    def patterns(self) -> list[HolePattern]:
        """Every hole pattern that stands."""
        if not self.patterns_wanted:
            return []
        return list(HolePattern.objects.active().select_related("component"))

    def named(self, text: str) -> list[Dimension]:
        """The dimensions of that name: one, or none, or more where two components are called alike."""
        return self._by_name.get(spaced(text), [])

    def suggestions(self, kind: str) -> Iterable[str]:
        """Names to offer while typing."""
        of_kind = [str(dimension) for dimension in self.dimensions if dimension.kind == kind]
        return of_kind[:_MOST_SHOWN]

    def pattern(self, key: str) -> HolePattern | None:
        """The pattern of that key, if it is one that stands."""
        return next((pattern for pattern in self.patterns if str(pattern.pk) == key), None)
