"""A drawing on paper: the same shapes on a reportlab canvas, at a place and a scale."""

from collections.abc import Iterator, Sequence
from itertools import pairwise

from reportlab.lib.colors import Color, HexColor
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from specs.drawings.annotation import printable
from specs.drawings.primitives import (
    CAP_SHARE,
    Arc,
    Circle,
    Drawing,
    Extent,
    Line,
    Point,
    Polyline,
    Role,
    Shape,
    Stroke,
    Text,
    Tone,
    bounds_of,
)

_CLOSE = 0.86  # the width of printed words is less than the generous estimate
WIDE, NARROW = 0.5, 0.25  # mm on paper: the pair that ISO 128-2 gives for small sheets
DASHES: dict[Stroke, tuple[float, ...]] = {  # mm on paper, in the proportions of ISO 128-2
    Stroke.DASHED: (2.4, 0.8),
    Stroke.CHAIN: (6.0, 0.8, 0.2, 0.8),
    Stroke.DOUBLE_CHAIN: (2.4, 0.6, 0.4, 0.6, 0.4, 0.6),
}
# One ink, one blue for what is pointed at or belongs to the engine, red for what fails.
_INK, _BLUE, _RED = HexColor("#111111"), HexColor("#174a8b"), HexColor("#9c1c12")
INKS: dict[Role, Color] = {
    **dict.fromkeys(Role, _INK),
    **dict.fromkeys((Role.HIDDEN, Role.CENTRE), HexColor("#444444")),
    Role.DIMENSION: HexColor("#333333"),
    Role.GRID: HexColor("#bbbbbb"),
    Role.CLASH: _RED,
    Role.ENGINE: _BLUE,
}
TONES: dict[Tone, Color] = {
    Tone.PLAIN: HexColor("#ffffff"),
    **dict.fromkeys((Tone.METAL, Tone.GEARBOX, Tone.OK), HexColor("#e6e6e6")),
    Tone.ENGINE: HexColor("#d5e0ec"),
    Tone.CLASH: HexColor("#f3d5cf"),
}


def draw(canvas: Canvas, drawing: Drawing, *, x: float, y: float, scale: float, font: str) -> None:
    """Draw with the lower left corner of the bounds at (x, y) [points].

    `scale` is paper mm per drawing mm (1 is full size); `font` is the name of a registered font. Line widths and dashes
    are those of the paper, whatever the scale.
    """
    unit = scale * mm
    canvas.saveState()
    canvas.translate(x - drawing.bounds.left * unit, y - drawing.bounds.bottom * unit)
    canvas.setLineCap(0)
    canvas.setLineJoin(1)
    lines = [segment for shape in drawing.shapes for segment in _segments(shape)]
    for shape in drawing.shapes:
        if isinstance(shape, Text) and _is_crossed(shape, lines):
            _interrupt(canvas, shape, unit)
        _ink(canvas, shape)
        _put(canvas, shape, unit, font)
    canvas.restoreState()


def fit(drawing: Drawing, width: float, height: float) -> float:
    """The scale at which the bounds just fill a frame of width × height [points]."""
    return min(width / (drawing.bounds.width * mm), height / (drawing.bounds.height * mm))


def _segments(shape: Shape) -> Iterator[tuple[Point, Point]]:
    if isinstance(shape, Line):
        yield shape.start, shape.end
    elif isinstance(shape, Polyline) and shape.fill is None:
        yield from pairwise([*shape.points, shape.points[0]] if shape.closed else shape.points)


def _is_crossed(text: Text, lines: Sequence[tuple[Point, Point]]) -> bool:
    box = bounds_of([text])
    return any(_reaches(box, start, end) for start, end in lines)


def _reaches(box: Extent, start: Point, end: Point) -> bool:
    """Whether a line runs through a box: the stretch of it between each pair of sides, narrowed side by side."""
    low, high = 0.0, 1.0
    for a, b, least, most in (
        (start[0], end[0], box.left, box.right),
        (start[1], end[1], box.bottom, box.top),
    ):
        if a == b:
            if not least < a < most:
                return False
            continue
        near, far = sorted(((least - a) / (b - a), (most - a) / (b - a)))
        low, high = max(low, near), min(high, far)
    return low < high


def _interrupt(canvas: Canvas, text: Text, unit: float) -> None:
    """Paper behind words that a line would cross: ISO 129-1 interrupts the line, not the figure."""
    canvas.saveState()
    canvas.translate(text.place[0] * unit, text.place[1] * unit)
    canvas.rotate(text.rotation)
    canvas.setFillColor(TONES[Tone.PLAIN])
    width = text.width * _CLOSE
    left = {"start": 0.0, "middle": -width / 2, "end": -width}[text.anchor]
    canvas.rect(left * unit, -0.25 * text.height * unit, width * unit, 1.4 * text.height * unit, stroke=0, fill=1)
    canvas.restoreState()


def _ink(canvas: Canvas, shape: Shape) -> None:
    canvas.setStrokeColor(INKS[shape.role])
    stroke = shape.drawn_stroke
    canvas.setLineWidth((WIDE if stroke is Stroke.WIDE else NARROW) * mm)
    canvas.setDash([length * mm for length in DASHES.get(stroke, ())])
    fill = shape.fill if isinstance(shape, Circle | Polyline) else None
    canvas.setFillColor(TONES.get(fill or Tone.SOLID, INKS[shape.role]))


def _put(canvas: Canvas, shape: Shape, unit: float, font: str) -> None:
    match shape:
        case Line():
            (x1, y1), (x2, y2) = shape.start, shape.end
            canvas.line(x1 * unit, y1 * unit, x2 * unit, y2 * unit)
        case Circle():
            (x, y), r = shape.centre, shape.radius
            canvas.circle(x * unit, y * unit, r * unit, stroke=1, fill=int(shape.fill is not None))
        case Polyline():
            _polyline(canvas, shape, unit)
        case Arc():
            (x, y), r = shape.centre, shape.radius
            box = ((x - r) * unit, (y - r) * unit, (x + r) * unit, (y + r) * unit)
            canvas.arc(*box, startAng=shape.start, extent=shape.sweep)
        case _:
            _text(canvas, shape, unit, font)


def _polyline(canvas: Canvas, shape: Polyline, unit: float) -> None:
    path = canvas.beginPath()
    (x, y), *rest = shape.points
    path.moveTo(x * unit, y * unit)
    for x, y in rest:
        path.lineTo(x * unit, y * unit)
    if shape.closed:
        path.close()
    canvas.drawPath(path, stroke=1, fill=int(shape.fill is not None))


def _text(canvas: Canvas, text: Text, unit: float, font: str) -> None:
    canvas.saveState()
    canvas.translate(text.place[0] * unit, text.place[1] * unit)
    canvas.rotate(text.rotation)
    canvas.setFont(font, text.height / CAP_SHARE * unit)
    say = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}[text.anchor]
    say(0, 0, printable(str(text.words)).replace("⌀", "Ø"))  # no face that prints here has U+2300
    canvas.restoreState()
