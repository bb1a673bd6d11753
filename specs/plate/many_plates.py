"""Walls, edge and area of one plate at many readings at once: what bands ask hundreds of times. SI throughout."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from typing import TYPE_CHECKING

from specs.engine.calculation import Refused
from specs.geometry.outlines import Outline
from specs.plate.laid_out import PlateInputs, demand_holes, plate_outline

if TYPE_CHECKING:
    import numpy

    Array = numpy.ndarray


def at_once(givens: Sequence[PlateInputs]) -> dict[int, Outline]:
    """The plates that may be worked out together, by their place, each with its outline."""
    found: dict[int, Outline] = {}
    for at, given in enumerate(givens):
        if not given.windows:
            try:
                demand_holes(given)
                found[at] = plate_outline(given)
            except Refused:
                continue
    return found


@dataclass(frozen=True)
class OnePlate:
    """What was found of one of many plates; area: nan where it is to be worked out singly."""

    walls: Sequence[float]
    pairs: Sequence[tuple[str, str]]
    at: int
    edge: float | None
    area: float | None
    places: Sequence[Sequence[float]]
    diameters: Sequence[float]

    @property
    def least(self) -> float:
        """The smallest wall between holes."""
        return self.walls[self.at]

    @property
    def least_pair(self) -> tuple[str, str]:
        """The holes between which it stands."""
        return self.pairs[self.at]

    def under(self, limit: float) -> Iterator[tuple[str, str]]:
        """The pairs whose wall is less than a limit."""
        if self.least < limit:
            yield from (pair for wall, pair in zip(self.walls, self.pairs, strict=True) if wall < limit)


@dataclass(frozen=True)
class ManyPlates:
    """The same holes at many readings, each with its outline.

    places: (plates, holes, 2), the gearbox's turned; diameters: (plates, holes); reaches: radius of hole or head.
    outlines: one a plate, of as many corners each; none where the plate has no outline.
    """

    places: Array
    diameters: Array
    reaches: Array
    outlines: Sequence[Outline]

    @classmethod
    def of(cls, givens: Sequence[PlateInputs], outlines: Sequence[Outline]) -> ManyPlates:
        """Gather the holes of plates that differ in their numbers alone."""
        import numpy as np

        rows = [
            [(hole.x, hole.y, hole.diameter, hole.head_diameter) for hole in (*given.engine, *given.gearbox)]
            for given in givens
        ]
        table, engine = np.array(rows), len(givens[0].engine)
        places = table[..., :2].copy()
        turns = np.array([given.rotation for given in givens])
        cos, sin = np.cos(turns)[:, None], np.sin(turns)[:, None]
        x, y = table[:, engine:, 0], table[:, engine:, 1]
        places[:, engine:, 0], places[:, engine:, 1] = cos * x - sin * y, sin * x + cos * y
        return cls(places, table[..., 2], table[..., 2:].max(axis=2) / 2, outlines)

    @cached_property
    def pairs(self) -> tuple[Array, Array]:
        """Each two holes by their places in the list, in the list's order."""
        import numpy as np

        found = np.array(list(combinations(range(self.places.shape[1]), 2)))
        return found[:, 0], found[:, 1]

    @cached_property
    def walls(self) -> Array:
        """The walls between all pairs: (plates, pairs)."""
        return self._apart - self.reaches[:, self.pairs[0]] - self.reaches[:, self.pairs[1]]

    @cached_property
    def _apart(self) -> Array:
        import numpy as np

        one, other = self.pairs
        run = self.places[:, one] - self.places[:, other]
        return np.hypot(run[..., 0], run[..., 1])

    @cached_property
    def depths(self) -> Array:
        """How deep each hole's centre lies inside the outline, negative outside: (plates, holes)."""
        import numpy as np

        start = np.array(self.outlines)[:, None]
        end = np.roll(start, -1, axis=2)
        along, off = end - start, self.places[:, :, None] - start
        length = (along**2).sum(axis=-1)
        share = np.clip((off * along).sum(axis=-1) / np.where(length > 0, length, 1), 0, 1)
        miss = off - share[..., None] * along
        nearest = np.hypot(miss[..., 0], miss[..., 1]).min(axis=-1)
        below = start[..., 1] <= self.places[:, :, None, 1]
        across = below != np.roll(below, -1, axis=2)
        rise = np.where(across, along[..., 1], 1)
        left_of = off[..., 0] < off[..., 1] * along[..., 0] / rise
        return np.where((across & left_of).sum(axis=-1) % 2, nearest, -nearest)

    @property
    def edges(self) -> Array:
        """The smallest wall to the outline: (plates,)."""
        return (self.depths - self.reaches).min(axis=1)

    @property
    def areas(self) -> Array:
        """Area of each plate [m²]; nan where holes overlap or reach over the edge, which is to be worked out singly."""
        import numpy as np

        x, y = np.array(self.outlines).transpose(2, 0, 1)
        turned = np.roll(x, -1, axis=1) * y - x * np.roll(y, -1, axis=1)
        whole = np.abs(turned.sum(axis=1)) / 2
        clear = (self.walls > 0).all(axis=1) & (self.depths > self.diameters / 2).all(axis=1)
        return np.where(clear, whole - math.pi / 4 * (self.diameters**2).sum(axis=1), math.nan)

    def each(self, names: Sequence[str]) -> Iterator[OnePlate]:
        """Give the plates one by one; names: those of the holes."""
        pairs = [(names[a], names[b]) for a, b in zip(*(at.tolist() for at in self.pairs), strict=True)]
        # Of equals, the pair whose names come first, as `min` finds it.
        by_name = sorted(range(len(pairs)), key=pairs.__getitem__)
        least = self.walls[:, by_name].argmin(axis=1).tolist()
        bounded, nothing = bool(self.outlines[0]), [None] * len(least)
        edges, areas = (self.edges.tolist(), self.areas.tolist()) if bounded else (nothing, nothing)
        drawn = self.places.tolist(), self.diameters.tolist()
        for walls, at, *rest in zip(self.walls.tolist(), least, edges, areas, *drawn, strict=True):
            yield OnePlate(walls, pairs, by_name[at], *rest)
