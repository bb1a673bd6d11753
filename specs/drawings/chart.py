"""Charts out of the drawing primitives: curves over an axis, and bars side by side.

Every curve carries its name where it ends instead of a key with colours, so a chart is read without colour.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from specs.drawings.clearance import cleared
from specs.drawings.primitives import (
    CAP_SHARE,
    WIDEST_LETTER,
    Circle,
    Drawing,
    Extent,
    Item,
    Line,
    Point,
    Polyline,
    Role,
    Stroke,
    Text,
    Tone,
    bounds_of,
)
from specs.drawings.scale import Axis, spread, thinned

WIDTH = 150.0  # mm of the whole chart: legible at 360 px, and on paper at full size
HEIGHT = 100.0
CAPITAL = 3.2  # mm
LETTER = WIDEST_LETTER * CAPITAL / CAP_SHARE
GAP = 1.5  # mm between a line and its words
LINE = 1.7 * CAPITAL  # mm from one line of words to the next


def fitted(words: str, width: float, height: float = CAPITAL) -> str:
    """Words shortened with an ellipsis to a width [mm]."""
    room = int(width / (WIDEST_LETTER * height / CAP_SHARE))
    words = str(words)
    return words if len(words) <= room else words[: max(room - 1, 0)].rstrip() + "…"


@dataclass(frozen=True)
class Curve:
    """Points joined by lines, named where they end."""

    points: tuple[Point, ...]
    words: str = ""
    role: Role = Role.OUTLINE
    stroke: Stroke | None = None


@dataclass(frozen=True)
class Spot:
    """One marked point with its words."""

    at: Point
    words: str = ""
    role: Role = Role.OUTLINE


@dataclass(frozen=True)
class Limit:
    """A limit at a value of the y axis, or of the x axis where it is upright, with its words."""

    at: float
    words: str
    upright: bool = False
    role: Role = Role.LIMIT


@dataclass(frozen=True)
class Bar:
    """A bar from `start` to `end` on the axis, its words above it and a note at its end; `mark` is a line across it."""

    words: str
    start: float
    end: float
    note: str = ""
    tone: Tone = Tone.METAL
    role: Role = Role.OUTLINE
    mark: float | None = None


@dataclass(frozen=True)
class _Plot:
    """Where a plot's frame lies and how values become places.

    Names of curves and level limits stand in the right margin, words of upright limits above the frame: nothing is
    written where a curve may run.
    """

    x: Axis
    y: Axis
    curves: Sequence[Curve]
    limits: Sequence[Limit]

    @cached_property
    def frame(self) -> Extent:
        named = max((len(name) for name, _, _ in self._named()), default=0) * LETTER
        widest = max(len(words) for _, words in self.y.marks(6)) * LETTER
        last = max((len(words) for _, words in self.x.marks(6)), default=0) * LETTER / 2  # stands under the right end
        right = WIDTH - (min(named, 0.35 * WIDTH) + 3 * GAP if named else max(last, 5.0))
        return Extent(widest + GAP + 1, 2 * LINE + GAP, right, HEIGHT - LINE * (1.5 + len(self._upright())))

    def at(self, point: Point) -> Point:
        return (
            self.x.place(point[0], self.frame.left, self.frame.width),
            self.y.place(point[1], self.frame.bottom, self.frame.height),
        )

    def items(self) -> list[Item]:
        lines = [Polyline(tuple(map(self.at, c.points)), role=c.role, stroke=c.stroke) for c in self.curves]
        return [*self._rows(), *self._columns(), *self._axes(), *lines, *self._limits(), *self._names()]

    def _upright(self) -> list[Limit]:
        return [limit for limit in self.limits if limit.upright]

    def _named(self) -> list[tuple[str, Point, Role]]:
        """What is named in the right margin: words, the point in the axes' figures that they belong to, role."""
        curves = [(curve.words, curve.points[-1], curve.role) for curve in self.curves if curve.words]
        return curves + [
            (limit.words, (self.x.high, limit.at), limit.role) for limit in self.limits if not limit.upright
        ]

    def _rows(self) -> list[Item]:
        items: list[Item] = []
        for value, words in self.y.marks(6):
            y = self.at((self.x.low, value))[1]
            items.append(Line((self.frame.left, y), (self.frame.right, y), role=Role.GRID))
            items.append(Text((self.frame.left - GAP, y - CAPITAL / 2), words, CAPITAL, "end"))
        return items

    def _columns(self) -> list[Item]:
        places = [self.at((value, self.y.low))[0] for value, _ in self.x.marks(6)]
        return _upright_grid(self.x, places, self.frame)

    def _axes(self) -> list[Item]:
        frame = self.frame
        corner = ((frame.left, frame.top), (frame.left, frame.bottom), (frame.right, frame.bottom))
        return [
            Polyline(corner, role=Role.OUTLINE, stroke=Stroke.NARROW),
            Text((0, HEIGHT - CAPITAL), fitted(self.y.words, WIDTH), CAPITAL),
            Text((frame.right, 0.3 * CAPITAL), fitted(self.x.words, frame.right), CAPITAL, "end"),
        ]

    def _limits(self) -> list[Item]:
        ends = [self.at((self.x.low, limit.at))[1] for limit in self.limits if not limit.upright]
        items: list[Item] = [Line((self.frame.left, y), (self.frame.right, y), role=Role.LIMIT) for y in ends]
        for k, limit in enumerate(self._upright(), 1):
            x, top = self.at((limit.at, self.y.low))[0], self.frame.top + LINE * k
            items += _flag(limit, x, (self.frame.bottom, top), WIDTH)
        return items

    def _names(self) -> list[Item]:
        places = [self.at(point) for _, point, _ in self._named()]
        heights = _above(spread([y for _, y in places], LINE), self.frame.bottom)
        start = self.frame.right + 2 * GAP
        items: list[Item] = []
        for (words, _, role), (x, y), height in zip(self._named(), places, heights, strict=True):
            if x < self.frame.right - 1e-6 or abs(height - y) > CAPITAL / 2:
                items.append(Line((x, y), (start - 0.3 * GAP, height), role=Role.DIMENSION))
            items.append(Text((start, height - CAPITAL / 2), fitted(words, WIDTH - start), CAPITAL, role=role))
        return items


def _above(heights: Sequence[float], foot: float) -> list[float]:
    """Names moved up together where the lowest would stand among the figures below the axis."""
    lift = max(foot - min(heights, default=foot), 0.0)
    return [height + lift for height in heights]


def _upright_grid(axis: Axis, places: Sequence[float], frame: Extent) -> list[Item]:
    """Upright grid lines with the axis' words below them, thinned until none runs into its neighbour."""
    marks = axis.marks(6)
    kept = thinned(marks, places, [(len(words) + 1) * LETTER for _, words in marks])
    items: list[Item] = [Line((x, frame.bottom), (x, frame.top), role=Role.GRID) for x in places]
    for (_, words), x, written in zip(marks, places, kept, strict=True):
        if written:
            items.append(Text((x, frame.bottom - GAP - CAPITAL), words, CAPITAL, "middle"))
    return items


def _flag(limit: Limit, x: float, ends: tuple[float, float], width: float) -> list[Item]:
    """An upright limit whose words stand beside its upper end, on the side where there is more room."""
    rightwards = x < width / 2
    words = fitted(limit.words, (width - x if rightwards else x) - GAP)
    place = (x + (GAP if rightwards else -GAP), ends[1] - CAPITAL)
    return [
        Line((x, ends[0]), (x, ends[1]), role=limit.role),
        Text(place, words, CAPITAL, "start" if rightwards else "end", role=limit.role),
    ]


def plot(
    title: str,
    description: str,
    *,
    x: Axis,
    y: Axis,
    curves: Sequence[Curve],
    limits: Sequence[Limit] = (),
    spots: Sequence[Spot] = (),
) -> Drawing:
    """Curves over two axes, with limits and marked points. Points are in the axes' figures."""
    plan = _Plot(x, y, curves, limits)
    items = [*plan.items(), *(item for spot in spots for item in _spot(plan, spot))]
    return _framed(title, description, items, HEIGHT)


def _spot(plan: _Plot, spot: Spot) -> list[Item]:
    x, y = plan.at(spot.at)
    left = x > (plan.frame.left + plan.frame.right) / 2
    dot = Circle((x, y), 1.2, Tone.SOLID, role=spot.role)
    if not spot.words:
        return [dot]
    across, anchor = x + (-GAP if left else GAP), "end" if left else "start"
    above, below = (Text((across, up), spot.words, CAPITAL, anchor) for up in (y + GAP, y - GAP - CAPITAL))
    return [dot, below if _crossed(plan, above) and not _crossed(plan, below) else above]


def _crossed(plan: _Plot, words: Text) -> bool:
    """Whether a point of a curve lies under the words."""
    xs, ys = zip(*words.reach, strict=True)
    points = (plan.at(point) for curve in plan.curves for point in curve.points)
    return any(min(xs) <= x <= max(xs) and min(ys) <= y <= max(ys) for x, y in points)


def bars(title: str, description: str, *, axis: Axis, rows: Sequence[Bar], limits: Sequence[Limit] = ()) -> Drawing:
    """Bars one below another over one axis, each with its words above it; limits are upright lines with their words."""
    plan = _Rows(axis, len(rows))
    items = plan.grid()
    for k, limit in enumerate(limits):
        items += plan.limit(limit, k + 1)
    for k, row in enumerate(rows):
        items += plan.bar(row, plan.top - GAP - plan.pitch * k)
    return _framed(title, description, items, plan.top + LINE * (len(limits) + 0.5) - 1.0)


def _framed(title: str, description: str, items: Sequence[Item], height: float) -> Drawing:
    """A chart with its labels clear, on a sheet as wide as all others or, where a label had to move, as far as it."""
    shapes = cleared(items)
    at = bounds_of(shapes)
    room = Extent(min(at.left, 0.0), min(at.bottom, 0.0), max(at.right, WIDTH), max(at.top, height))
    return Drawing(title, description, shapes, room.grown(1.0))


@dataclass(frozen=True)
class _Rows:
    """Where the rows of a bar chart lie."""

    axis: Axis
    count: int
    left: float = 6.0
    right: float = WIDTH - 6.0
    thick: float = 1.2 * CAPITAL
    pitch: float = LINE + 1.2 * CAPITAL + GAP
    bottom: float = 2 * LINE + GAP

    @property
    def top(self) -> float:
        return self.bottom + self.pitch * self.count + GAP

    def across(self, value: float) -> float:
        return self.axis.place(value, self.left, self.right - self.left)

    def grid(self) -> list[Item]:
        frame = Extent(self.left, self.bottom, self.right, self.top)
        words = Text((self.right, 0.3 * CAPITAL), fitted(self.axis.words, self.right), CAPITAL, "end")
        return [*_upright_grid(self.axis, [self.across(value) for value, _ in self.axis.marks(6)], frame), words]

    def limit(self, limit: Limit, level: int) -> list[Item]:
        return _flag(limit, self.across(limit.at), (self.bottom, self.top + LINE * level), WIDTH)

    def bar(self, row: Bar, top: float) -> list[Item]:
        high, low = top - LINE, top - LINE - self.thick
        start, end = self.across(row.start), self.across(row.end)
        corners = ((start, low), (end, low), (end, high), (start, high))
        room = self.right - self.left - len(row.note) * LETTER - GAP - 2
        items: list[Item] = [
            Text((self.left + 1, high + 0.35 * CAPITAL), fitted(row.words, room), CAPITAL),
            Polyline(corners, closed=True, fill=row.tone, role=row.role, stroke=Stroke.NARROW),
        ]
        if row.note:
            items.append(Text((self.right - 1, high + 0.35 * CAPITAL), row.note, CAPITAL, "end"))
        if row.mark is not None:
            x = self.across(row.mark)
            items.append(Line((x, low - 0.5), (x, high + 0.5), role=row.role))
        return items


def shares(title: str, description: str, axis: str, parts: Sequence[tuple[str, float]]) -> Drawing:
    """Draw what makes up a whole, in words and amounts of one unit, one bar beginning where the last one ends."""
    whole, done, rows = sum(amount for _, amount in parts), 0.0, []
    for words, amount in parts:
        share = 100 * amount / whole
        rows.append(Bar(words, done, done + share, f"{share:.0f} %"))
        done += share
    return bars(title, description, axis=Axis(axis, 0, 100), rows=rows)
