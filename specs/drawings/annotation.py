"""What explains a drawing: dimensions after ISO 129-1, arrows, centre marks, hatching after ISO 128-3, its words."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, ceil, cos, degrees, floor, hypot, radians, sin

from specs.drawings.primitives import Arc, Line, Point, Polyline, Role, Shape, Stroke, Text, Tone

ARROW_LENGTH = 0.9  # arrowhead length over text height
ARROW_HALF_ANGLE = 10.0  # deg: an arrowhead of 20°, within the 15° to 30° of ISO 129-1

# Everything that XML 1.0 does not allow in a document, and the control characters that a font has no letter for.
_UNPRINTABLE = re.compile("[^\u0020-\u007e\u00a0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def printable(words: str) -> str:
    """Words on one line, with every character that cannot be printed replaced by �."""
    return _UNPRINTABLE.sub("\ufffd", re.sub(r"[\t\r\n]+", " ", words))


def arrowhead(tip: Point, direction: float, length: float, role: Role) -> Polyline:
    """A filled arrowhead whose tip points along `direction` [deg]."""
    back = [radians(direction + 180 + side) for side in (-ARROW_HALF_ANGLE, ARROW_HALF_ANGLE)]
    corners = tuple((tip[0] + length * cos(a), tip[1] + length * sin(a)) for a in back)
    return Polyline((tip, *corners), closed=True, fill=Tone.SOLID, role=role, stroke=Stroke.NARROW)


def readable(angle: float) -> float:
    """The angle [deg] turned so that words read from below or from the right, as ISO 129-1 wants."""
    turned = (angle + 90) % 180 - 90
    return 90.0 if turned == -90 else turned


@dataclass(frozen=True)
class Arrow:
    """A line with an arrowhead at its end, e.g. a force; its words stand beyond the tip or the tail."""

    start: Point
    end: Point
    words: str = ""
    role: Role = Role.DIMENSION
    height: float = 3.5

    def parts(self) -> tuple[Shape, ...]:
        run, rise = self.end[0] - self.start[0], self.end[1] - self.start[1]
        head = arrowhead(self.end, degrees(atan2(rise, run)), self.height * ARROW_LENGTH, self.role)
        line = Line(self.start, self.end, role=self.role, stroke=Stroke.WIDE)
        return (line, head, *self._label(run, rise)) if self.words else (line, head)

    def _label(self, run: float, rise: float) -> tuple[Text, ...]:
        away = 0.6 * self.height / (hypot(run, rise) or 1.0)
        anchor = "middle" if abs(run) < 0.4 * abs(rise) else "start" if run >= 0 else "end"
        down = self.height if anchor == "middle" and rise < 0 else 0.0 if anchor == "middle" else self.height / 2
        place = (self.end[0] + run * away, self.end[1] + rise * away - down)
        return (Text(place, self.words, self.height, anchor),)


@dataclass(frozen=True)
class CentreMark:
    """Two crossing chain lines over a centre, reaching `reach` [mm] each way."""

    centre: Point
    reach: float
    role: Role = Role.CENTRE

    def parts(self) -> tuple[Shape, ...]:
        (x, y), r = self.centre, self.reach
        return (
            Line((x - r, y), (x + r, y), role=self.role, stroke=Stroke.CHAIN),
            Line((x, y - r), (x, y + r), role=self.role, stroke=Stroke.CHAIN),
        )


@dataclass(frozen=True)
class DimensionLine:
    """A length between two points, drawn after ISO 129-1.

    `offset` [mm] is how far the dimension line stands from `start`, to the left of the direction start → end (negative:
    to the right). `angle` [deg] fixes the direction that is measured (0 horizontal, 90 vertical); without it the
    dimension runs parallel to the two points. Where the arrows do not fit between the extension lines they stand
    outside and point inwards.
    """

    start: Point
    end: Point
    words: str
    offset: float = 10.0
    angle: float | None = None
    height: float = 3.5
    role: Role = Role.DIMENSION

    def parts(self) -> tuple[Shape, ...]:
        first, last, along = self._feet()
        length = hypot(last[0] - first[0], last[1] - first[1])
        words = self._text(first, last, along, length)
        return (
            *self._extension(self.start, first),
            *self._extension(self.end, last),
            *self._carrier(first, last, words, length),
            *self._line(first, last, along, length),
            words,
        )

    def _carrier(self, first: Point, last: Point, words: Text, length: float) -> tuple[Line, ...]:
        """The dimension line drawn on below words that stand beyond it (ISO 129-1)."""
        if not self.words or words.width <= length:
            return ()
        c, s = cos(radians(words.rotation)), sin(radians(words.rotation))
        start = max(first, last, key=lambda foot: foot[0] * c + foot[1] * s)
        lift, half = 0.35 * self.height, words.width / 2
        return (
            Line(start, (words.place[0] + c * half + s * lift, words.place[1] + s * half - c * lift), role=self.role),
        )

    def _feet(self) -> tuple[Point, Point, float]:
        (x1, y1), (x2, y2) = self.start, self.end
        along = degrees(atan2(y2 - y1, x2 - x1)) if self.angle is None else self.angle
        c, s = cos(radians(along)), sin(radians(along))
        first = (x1 - s * self.offset, y1 + c * self.offset)
        run = (x2 - x1) * c + (y2 - y1) * s
        if run < 0:
            run, c, s, along = -run, -c, -s, along + 180
        return first, (first[0] + run * c, first[1] + run * s), along

    def _extension(self, point: Point, foot: Point) -> tuple[Line, ...]:
        run, rise = foot[0] - point[0], foot[1] - point[1]
        length = hypot(run, rise)
        gap, beyond = 0.25 * self.height, 0.5 * self.height
        if length <= gap:
            return ()
        ux, uy = run / length, rise / length
        ends = ((point[0] + ux * gap, point[1] + uy * gap), (foot[0] + ux * beyond, foot[1] + uy * beyond))
        return (Line(*ends, role=self.role),)

    def _line(self, first: Point, last: Point, along: float, length: float) -> tuple[Shape, ...]:
        head = self.height * ARROW_LENGTH
        inside = length >= 3 * head
        c, s = cos(radians(along)), sin(radians(along))
        tail = 0.0 if inside else 2 * head
        ends = ((first[0] - c * tail, first[1] - s * tail), (last[0] + c * tail, last[1] + s * tail))
        turn = 180.0 if inside else 0.0
        return (
            Line(*ends, role=self.role),
            arrowhead(first, along + turn, head, self.role),
            arrowhead(last, along + turn + 180, head, self.role),
        )

    def _text(self, first: Point, last: Point, along: float, length: float) -> Text:
        rotation = readable(along)
        up = radians(rotation + 90)
        lift = 0.35 * self.height
        words = Text((0.0, 0.0), self.words, self.height)
        inside = words.width <= length
        middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2)
        # Words wider than the dimension follow its line on the outside, where nothing else is drawn.
        beyond = 0.0 if inside else length / 2 + 2.2 * self.height * ARROW_LENGTH + words.width / 2
        c, s = cos(radians(rotation)), sin(radians(rotation))
        place = (middle[0] + c * beyond + cos(up) * lift, middle[1] + s * beyond + sin(up) * lift)
        return Text(place, self.words, self.height, "middle", rotation)


def hatch(outline: Sequence[Point], pitch: float, angle: float = 45.0, role: Role = Role.OUTLINE) -> tuple[Line, ...]:
    """Narrow parallel lines over a cut area (ISO 128-3), clipped to a closed outline by the even-odd rule.

    `pitch` [mm] is the distance between lines, `angle` [deg] their direction.
    """
    c, s = cos(radians(angle)), sin(radians(angle))
    turned = [(x * c + y * s, y * c - x * s) for x, y in outline]
    levels = range(ceil(min(y for _, y in turned) / pitch), floor(max(y for _, y in turned) / pitch) + 1)
    lines = []
    for level in (k * pitch for k in levels):
        cuts = sorted(_crossings(turned, level))
        for left, right in zip(cuts[::2], cuts[1::2], strict=False):
            ends = ((left * c - level * s, left * s + level * c), (right * c - level * s, right * s + level * c))
            lines.append(Line(*ends, role=role, stroke=Stroke.NARROW))
    return tuple(lines)


def _crossings(points: Sequence[Point], level: float) -> list[float]:
    """Where the closed outline crosses the horizontal at `level`; a corner on it counts once."""
    edges = zip(points, [*points[1:], points[0]], strict=True)
    return [x1 + (level - y1) * (x2 - x1) / (y2 - y1) for (x1, y1), (x2, y2) in edges if (y1 <= level) != (y2 <= level)]


@dataclass(frozen=True)
class TurningArrow:
    """A torque: three quarters of a circle round a centre with an arrowhead at its end."""

    centre: Point
    radius: float
    clockwise: bool = False
    role: Role = Role.LIMIT
    height: float = 3.5

    def parts(self) -> tuple[Shape, ...]:
        arc = Arc(self.centre, self.radius, 60.0, 330.0, role=self.role, stroke=Stroke.WIDE)
        end, direction = (arc.at(60.0), -30.0) if self.clockwise else (arc.at(330.0), 60.0)
        return arc, arrowhead(end, direction, self.height * ARROW_LENGTH, self.role)
