"""Points of a face: turned, moved, mirrored, and how far apart they are."""

from collections.abc import Iterable
from math import cos, fsum, hypot, sin

Point = tuple[float, float]


def distance(a: Point, b: Point) -> float:
    """Distance between two points, in their unit."""
    return hypot(b[0] - a[0], b[1] - a[1])


def turned(point: Point, angle: float, about: Point = (0.0, 0.0)) -> Point:
    """The point turned counter-clockwise by `angle` [rad] about another."""
    c, s = cos(angle), sin(angle)
    x, y = point[0] - about[0], point[1] - about[1]
    return about[0] + x * c - y * s, about[1] + x * s + y * c


def moved(point: Point, by: Point) -> Point:
    """The point moved by a vector."""
    return point[0] + by[0], point[1] + by[1]


def mirrored(point: Point) -> Point:
    """The point as seen from the other side of the face: left and right changed over, heights kept."""
    return -point[0], point[1]


def centroid(points: Iterable[Point]) -> Point:
    """The mean of one or more points."""
    held = list(points)
    return fsum([x for x, _ in held]) / len(held), fsum([y for _, y in held]) / len(held)


def cross(a: Point, b: Point) -> float:
    """The z component of a × b: twice the area of the triangle that they span, positive where b lies to the left."""
    return a[0] * b[1] - a[1] * b[0]


def dot(a: Point, b: Point) -> float:
    """The scalar product of two vectors."""
    return a[0] * b[0] + a[1] * b[1]


def between(start: Point, end: Point) -> Point:
    """The vector from start to end."""
    return end[0] - start[0], end[1] - start[1]
