"""What a drawing is made of: lines, curves and words in millimetres, y upwards.

A shape carries a *role* (what it means) and a *stroke* (how it is drawn, after the line types of ISO 128-2). Writers
decide colour from the role; a reader who sees no colour still tells the roles apart by stroke and by words.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from enum import StrEnum
from math import cos, hypot, isfinite, radians, sin
from typing import Protocol, cast

from specs.phrase import phrase

Point = tuple[float, float]

CAP_SHARE = 0.72  # capital height over font size, near enough for the sans-serif faces in use
WIDEST_LETTER = 0.62  # mean advance of a letter over font size, on the generous side so that labels keep clear


class Role(StrEnum):
    """What a shape means."""

    OUTLINE = "outline"
    HIDDEN = "hidden"
    CENTRE = "centre"
    DIMENSION = "dimension"
    GRID = "grid"
    LIMIT = "limit"
    CLASH = "clash"
    ENGINE = "engine"
    GEARBOX = "gearbox"
    OK = "ok"
    TEXT = "text"


class Stroke(StrEnum):
    """How a line is drawn: ISO 128-2 line types 01.2, 01.1, 02, 04 and 05."""

    WIDE = "wide"
    NARROW = "narrow"
    DASHED = "dashed"
    CHAIN = "chain"
    DOUBLE_CHAIN = "double-chain"


class Tone(StrEnum):
    """What an area is filled with, by name."""

    SOLID = "solid"
    PLAIN = "plain"
    METAL = "metal"
    ENGINE = "engine"
    GEARBOX = "gearbox"
    OK = "ok"
    CLASH = "clash"


USUAL_STROKE = {
    Role.OUTLINE: Stroke.WIDE,
    Role.HIDDEN: Stroke.DASHED,
    Role.CENTRE: Stroke.CHAIN,
    Role.DIMENSION: Stroke.NARROW,
    Role.GRID: Stroke.NARROW,
    Role.LIMIT: Stroke.DASHED,
    Role.CLASH: Stroke.WIDE,
    Role.ENGINE: Stroke.WIDE,
    Role.GEARBOX: Stroke.DOUBLE_CHAIN,
    Role.OK: Stroke.WIDE,
    Role.TEXT: Stroke.NARROW,
}


@dataclass(frozen=True, kw_only=True)
class Inked:
    """Role and stroke of a shape; without a stroke the usual one of its role is drawn."""

    role: Role = Role.OUTLINE
    stroke: Stroke | None = None

    @property
    def drawn_stroke(self) -> Stroke:
        return self.stroke or USUAL_STROKE[self.role]


@dataclass(frozen=True)
class Line(Inked):
    """A straight line from start to end [mm]."""

    start: Point
    end: Point

    @property
    def reach(self) -> tuple[Point, ...]:
        return self.start, self.end


@dataclass(frozen=True)
class Polyline(Inked):
    """Straight lines through points [mm]; closed ones may be filled with a tone."""

    points: tuple[Point, ...]
    closed: bool = False
    fill: Tone | None = None

    @property
    def reach(self) -> tuple[Point, ...]:
        return self.points


def _check_radius(radius: float) -> None:
    if not radius > 0:
        raise ValueError(phrase("A circle needs a radius above 0."))


@dataclass(frozen=True)
class Circle(Inked):
    """A circle by centre and radius [mm]."""

    centre: Point
    radius: float
    fill: Tone | None = None

    def __post_init__(self) -> None:
        _check_radius(self.radius)

    @property
    def reach(self) -> tuple[Point, ...]:
        (x, y), r = self.centre, self.radius
        return (x - r, y - r), (x + r, y + r)


@dataclass(frozen=True)
class Arc(Inked):
    """Part of a circle, counter-clockwise from `start` to `end` [deg, from the x axis]."""

    centre: Point
    radius: float
    start: float
    end: float

    def __post_init__(self) -> None:
        _check_radius(self.radius)

    def at(self, angle: float) -> Point:
        """The point of the circle at an angle [deg]."""
        return (
            self.centre[0] + self.radius * cos(radians(angle)),
            self.centre[1] + self.radius * sin(radians(angle)),
        )

    @property
    def sweep(self) -> float:
        """Angle covered [deg], above 0 and up to 360."""
        return (self.end - self.start) % 360 or 360.0

    @property
    def reach(self) -> tuple[Point, ...]:
        quarters = (a for a in range(0, 360, 90) if (a - self.start) % 360 < self.sweep)
        return self.at(self.start), self.at(self.end), *(self.at(a) for a in quarters)


@dataclass(frozen=True)
class Text(Inked):
    """Words at a place [mm]: height of the capitals, turned counter-clockwise [deg].

    `anchor` is start, middle or end of the baseline, which lies at `place`.
    """

    place: Point
    words: str
    height: float = 3.5
    anchor: str = "start"
    rotation: float = 0.0
    role: Role = field(default=Role.TEXT, kw_only=True)

    @property
    def width(self) -> float:
        """Room along the baseline [mm], estimated on the generous side."""
        return len(str(self.words)) * WIDEST_LETTER * self.height / CAP_SHARE

    @property
    def reach(self) -> tuple[Point, ...]:
        left = {"start": 0.0, "middle": -self.width / 2, "end": -self.width}[self.anchor]
        c, s = cos(radians(self.rotation)), sin(radians(self.rotation))
        corners = [(x, y) for x in (left, left + self.width) for y in (-0.3 * self.height, 1.1 * self.height)]
        return tuple((self.place[0] + x * c - y * s, self.place[1] + x * s + y * c) for x, y in corners)


Shape = Line | Polyline | Circle | Arc | Text


def shifted(shape: Shape, right: float, up: float) -> Shape:
    """The same shape elsewhere, moved by distances [mm]."""

    def to(point: Point) -> Point:
        return point[0] + right, point[1] + up

    match shape:
        case Line():
            return replace(shape, start=to(shape.start), end=to(shape.end))
        case Polyline():
            return replace(shape, points=tuple(map(to, shape.points)))
        case Circle() | Arc():
            return replace(shape, centre=to(shape.centre))
        case _:
            return replace(shape, place=to(shape.place))


class Composite(Protocol):
    """Anything that is drawn as several shapes: a dimension, an arrow, a centre mark."""

    def parts(self) -> tuple[Shape, ...]:
        """The shapes that it is drawn as."""
        ...


Item = Shape | Composite


@dataclass(frozen=True)
class Extent:
    """A rectangle with its sides along the axes [mm]."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        return self.right - self.left

    @property
    def height(self) -> float:
        return self.top - self.bottom

    def grown(self, margin: float) -> "Extent":
        """The same rectangle with a margin [mm] on every side."""
        return Extent(self.left - margin, self.bottom - margin, self.right + margin, self.top + margin)


def shapes_of(items: Iterable[Item]) -> tuple[Shape, ...]:
    """The plain shapes that items are drawn as, in order."""
    shapes: list[Shape] = []
    for item in items:
        if isinstance(item, Shape):
            shapes.append(item)
        else:
            shapes.extend(cast(Composite, item).parts())
    return tuple(shapes)


def bounds_of(items: Iterable[Item]) -> Extent:
    """The smallest rectangle around items [mm]; ValueError where there are none or one reaches no finite place."""
    points = [point for shape in shapes_of(items) for point in shape.reach]
    if not points or not all(isfinite(x) and isfinite(y) for x, y in points):
        raise ValueError(phrase("A drawing needs at least one shape, and every shape a finite place."))
    xs, ys = zip(*points, strict=True)
    return Extent(min(xs), min(ys), max(xs), max(ys))


@dataclass(frozen=True)
class Drawing:
    """A picture with its name and what it shows in words (read out where nothing can be seen).

    Without given bounds the drawing reaches round all of its items with a small margin.
    """

    title: str
    description: str
    items: Sequence[Item]
    bounds: Extent = field(default=cast(Extent, None))

    def __post_init__(self) -> None:
        if self.bounds is None:
            tight = bounds_of(self.items)
            object.__setattr__(self, "bounds", tight.grown(0.03 * hypot(tight.width, tight.height) or 1.0))

    @property
    def shapes(self) -> tuple[Shape, ...]:
        return shapes_of(self.items)


def turned(point: Point, angle: float, at: Point = (0.0, 0.0)) -> Point:
    """Return a point turned about the origin [rad], then moved to a place."""
    c, s = cos(angle), sin(angle)
    return at[0] + point[0] * c - point[1] * s, at[1] + point[0] * s + point[1] * c


def one_below_another(title: str, description: str, drawings: Sequence[Drawing], gap: float = 6.0) -> Drawing:
    """Several drawings as one, flush left, the first at the top, `gap` [mm] apart."""
    shapes: list[Shape] = []
    down = 0.0
    for drawing in drawings:
        right, up = -drawing.bounds.left, -down - drawing.bounds.top
        shapes += [shifted(shape, right, up) for shape in drawing.shapes]
        down += drawing.bounds.height + gap
    width = max(drawing.bounds.width for drawing in drawings)
    return Drawing(title, description, shapes, Extent(0.0, gap - down, width, 0.0))
