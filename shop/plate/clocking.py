"""Both patterns on one axis, the gearbox turned by any angle: what clashes, and between which angles nothing does."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from math import ceil, degrees, floor, pi, tau
from typing import Any
from urllib.parse import urlencode

from shop.base.written import num, with_minus
from shop.plate.layout import PlateLayout
from specs.engine.answer import Answer
from specs.engine.units import LENGTH
from specs.geometry.clocking import Interval, clear_angles, common, turned_back
from specs.geometry.discs import Disc, edge_wall, ligament
from specs.geometry.outlines import Outline
from specs.geometry.windows import Window
from specs.plate.laid_out import every_window, plate_outline, plate_windows, whole_outline
from specs.plate.sides import Side, name_on_plate

MOST_WALLS = 8
_TURNS = (-10.0, -1.0, -0.1, 0.1, 1.0, 10.0)  # degrees that one press turns the gearbox


@dataclass(frozen=True)
class Span:
    """Angles from `low` to `high` [rad, −π … π and beyond] at which nothing clashes; `now`: the tried angle is inside.

    Shown figures are rounded inwards, so that an angle read off the page is always clear.
    """

    low: float
    high: float
    now: bool
    limits: Mapping[str, str]

    @property
    def whole(self) -> bool:
        return self.high - self.low >= tau - 1e-9

    @property
    def shown(self) -> tuple[str, str]:
        return (
            f"{num(ceil(degrees(self.low) * 100) / 100, '.2f')}°",
            f"{num(floor(degrees(self.high) * 100) / 100, '.2f')}°",
        )

    @property
    def width(self) -> str:
        return f"{num(degrees(self.high - self.low), '.2f')}°"

    @property
    def middle(self) -> str:
        """The angle in the middle [deg], as what-if takes it."""
        return f"{degrees((self.low + self.high) / 2):.2f}"

    @property
    def drawn(self) -> str:
        """The query that draws the middle on the clocking page with the same limits."""
        return f"?{urlencode({'rotation': f'{self.middle} deg', **self.limits})}"


@dataclass(frozen=True)
class Wall:
    """The material between two holes, or between a hole and the edge [m]."""

    between: tuple[str, str]
    size: float
    short: bool


@dataclass(frozen=True)
class Clocking:
    """A plate at one angle: its answer over the holes as cut, and the limits that it was tried with (SI)."""

    plate: PlateLayout
    answer: Answer

    @property
    def given(self) -> Any:
        return self.answer.given

    @cached_property
    def walls(self) -> list[Wall]:
        """The thinnest walls, thinnest first: every one under the limit, and the next few."""
        placed = list(self._placed())
        found = [
            Wall((one, two), ligament(a, b), ligament(a, b) < self.given.ligament - 1e-9)
            for at, (one, a) in enumerate(placed)
            for two, b in placed[at + 1 :]
        ]
        found.sort(key=lambda wall: wall.size)
        return found[: max(MOST_WALLS, sum(wall.short for wall in found))]

    @cached_property
    def edges(self) -> list[Wall]:
        """The holes nearest to the outline, nearest first; none without an outline."""
        corners = self.outline
        if not corners:
            return []
        limit = self.given.edge or 0.0
        found = [(name, edge_wall(corners, disc)) for name, disc in self._placed()]
        walls = [Wall((name, "outline"), size, size < limit - 1e-9) for name, size in found]
        return sorted(walls, key=lambda wall: wall.size)[:MOST_WALLS]

    @property
    def outline(self) -> Outline:
        """The plate's own outline at the tried angle [m]."""
        return plate_outline(self.given)

    @cached_property
    def windows(self) -> tuple[Window, ...]:
        return plate_windows(self.given)

    @property
    def turns_with_gearbox(self) -> bool:
        """Whether the outline is the gearbox's, so that the engine's holes move against it."""
        return bool(self.given.outline_side == Side.GEARBOX)

    def _placed(self) -> Iterator[tuple[str, Disc]]:
        heads = {f"{side}:{hole.name}": hole for side in Side for hole in getattr(self.given, side.value)}
        for row in self.answer.found.table:
            yield name_on_plate(row.name), Disc(row.x, row.y, max(row.diameter, heads[row.name].head_diameter) / 2)

    @property
    def smallest_pair(self) -> list[str]:
        """Between which holes, by the plate's names, the smallest wall is."""
        return list(map(name_on_plate, self.answer.found.smallest_pair))

    @property
    def window_pair(self) -> list[str]:
        """Beside which window, and what is nearest to it, by the plate's names."""
        return list(map(name_on_plate, self.answer.found.window_pair or ()))

    @property
    def dowels(self) -> list[tuple[str, Any]]:
        """The dowels by the plate's names."""
        return [(name_on_plate(row.name), row) for row in self.answer.found.table if row.kind == "dowel"]

    @cached_property
    def fixed_clash(self) -> bool:
        """Whether walls fall short that no turning can mend: between two holes of one side."""
        return any(wall.short and len({name.split("-")[0] for name in wall.between}) == 1 for wall in self.walls)

    @cached_property
    def clear(self) -> list[Span]:
        """Where nothing clashes with the seats that are cut for the heads, nearest to the tried angle first."""
        return self._spans(*(list(getattr(self.given, side.value)) for side in Side))

    def _spans(self, gearbox: list[Any], engine: list[Any]) -> list[Span]:
        fixed, turning = (
            [Disc(hole.x, hole.y, max(hole.diameter, hole.head_diameter) / 2) for hole in holes]
            for holes in (engine, gearbox)
        )
        return sorted((self._span(interval) for interval in self._clear(fixed, turning)), key=self._off)

    def _clear(self, fixed: list[Disc], turning: list[Disc]) -> Sequence[Interval]:
        wall, edge = self.given.ligament, self.given.edge or 0.0
        windows = every_window(self.given) if self.turns_with_gearbox else self.windows
        stand = [*fixed, *(window.disc for window in windows if window.disc)]
        corners = [window.corners for window in windows if window.corners]
        if not self.turns_with_gearbox:
            return clear_angles(stand, turning, wall, self.outline, edge, corners)
        # The gearbox's own outline: engine holes turn back in it. Windows do not turn, so they cannot be cut into it.
        own = whole_outline(replace(self.given, rotation=0.0))
        inside = turned_back(clear_angles((), fixed, 0.0, own, edge))
        return common(clear_angles(stand, turning, wall, windows=corners), inside)

    def _span(self, interval: Interval) -> Span:
        start, end = interval
        if end - start >= tau - 1e-9:
            return Span(-pi, pi, True, self._limits)
        # About the shortest way round, so that −4° … 12° is not written 356° … 372°.
        turns = round((start + end) / 2 / tau)
        low, high = start - turns * tau, end - turns * tau
        angle = self.given.rotation
        return Span(low, high, any(low <= angle + k * tau <= high for k in (-1, 0, 1)), self._limits)

    @property
    def turns(self) -> list[tuple[str, str]]:
        """A press each: by how many degrees it turns, and the query that draws it with the same limits."""
        now = degrees(self.given.rotation)
        return [(with_minus(f"{by:+g}°"), self._turned(now + by)) for by in _TURNS]

    def _turned(self, angle: float) -> str:
        about = (angle + 180) % 360 - 180
        return f"?{urlencode({'rotation': f'{about:.6g} deg', **self._limits})}"

    @property
    def angle(self) -> str:
        """The tried angle [deg] from −180 to 180, as a slider takes it."""
        return f"{(degrees(self.given.rotation) + 180) % 360 - 180:.6g}"

    @property
    def _limits(self) -> dict[str, str]:
        sizes = {"ligament": self.given.ligament, "edge": self.given.edge}
        return {name: f"{LENGTH.from_si(size):g} mm" for name, size in sizes.items() if size is not None}

    def _off(self, span: Span) -> float:
        middle = (span.low + span.high) / 2
        return 0.0 if span.now else abs((middle - self.given.rotation + pi) % tau - pi)
