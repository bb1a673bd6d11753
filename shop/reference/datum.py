"""Moving a hole pattern to another datum by a stated construction: pure over coordinates in mm."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, degrees, sin

from specs.geometry.circles import fit_circle
from specs.geometry.points import Point, between, distance, turned


@dataclass(frozen=True)
class Frame:
    """A new datum in the old one: its origin [mm] and by how much its x axis is turned [rad, counter-clockwise]."""

    origin: Point
    turn: float
    words: str

    def place(self, point: Point) -> Point:
        """A point of the old datum as the new one names it."""
        return turned(between(self.origin, point), -self.turn)

    @property
    def turn_degrees(self) -> float:
        return degrees(self.turn)


def between_dowels(first: Point, second: Point, names: tuple[str, str]) -> Frame:
    """Midway between two dowels, x from the first to the second."""
    turn = _direction(first, second)
    origin = ((first[0] + second[0]) / 2, (first[1] + second[1]) / 2)
    return Frame(origin, turn, f"midway between {names[0]} and {names[1]}, x from {names[0]} to {names[1]}")


def above_flat(first: Point, second: Point, height: float, along: float, names: tuple[str, str]) -> Frame:
    """`height` above the line through two holes, `along` from the first towards the second; x along the line."""
    turn = _direction(first, second)
    x, y = turned((along, height), turn)
    words = (
        f"{height:.3f} mm above the line from {names[0]} to {names[1]}, {along:.3f} mm along it from {names[0]}; "
        "x along that line"
    )
    return Frame((first[0] + x, first[1] + y), turn, words)


def in_register(points: Sequence[Point]) -> Frame:
    """In the middle of the circle that fits the points of a register best; x as before. ValueError without a circle."""
    fit = fit_circle(points)
    words = (
        f"in the middle of the register, ⌀ {fit.diameter:.3f} mm fitted through {len(points)} points "
        f"({fit.rms:.3f} mm rms off the circle); x as before"
    )
    return Frame((fit.x, fit.y), 0.0, words)


def _direction(first: Point, second: Point) -> float:
    if distance(first, second) == 0:
        raise ValueError("The two lie in one place: they give no direction.")
    dx, dy = between(first, second)
    return atan2(dy, dx)


def axis_end(frame: Frame, length: float) -> Point:
    """Where an arrow along the new x axis ends, in the old datum."""
    return frame.origin[0] + length * cos(frame.turn), frame.origin[1] + length * sin(frame.turn)
