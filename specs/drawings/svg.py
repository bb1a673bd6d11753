"""A drawing as SVG for a page: one unit of the view box is one millimetre, looks come from the style sheet alone.

No style attributes and no fixed ids: a strict content security policy blackens the first, and two drawings on one page
would share the second. Widths are given by class and do not scale, so lines stay crisp at any size.
"""

from math import isfinite
from xml.etree import ElementTree

from specs.drawings.annotation import printable
from specs.drawings.primitives import CAP_SHARE, Arc, Circle, Drawing, Line, Point, Polyline, Shape, Text, Tone
from specs.phrase import phrase

_NARROW_FACE = 1.12  # the pages' face is narrow: this much larger it still keeps within the room of `Text.width`


def number(value: float) -> str:
    """A coordinate to a micrometre, without trailing noughts; ValueError where it is not finite."""
    if not isfinite(value):
        raise ValueError(phrase("A drawing holds finite coordinates only."))
    written = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if written == "-0" else written


def write(drawing: Drawing, prefix: str) -> str:
    """The drawing as an `<svg>` element; `prefix` makes its ids unique on the page."""
    box = drawing.bounds
    root = ElementTree.Element(
        "svg",
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "class": "drawing",
            "role": "img",
            "aria-labelledby": f"{prefix}-title {prefix}-desc",
            "viewBox": " ".join(map(number, (box.left, -box.top, box.width, box.height))),
        },
    )
    ElementTree.SubElement(root, "title", {"id": f"{prefix}-title"}).text = printable(str(drawing.title))
    ElementTree.SubElement(root, "desc", {"id": f"{prefix}-desc"}).text = printable(str(drawing.description))
    for shape in drawing.shapes:
        root.append(_element(shape))
    return ElementTree.tostring(root, encoding="unicode")


def _element(shape: Shape) -> ElementTree.Element:
    match shape:
        case Line():
            (x1, y1), (x2, y2) = shape.start, shape.end
            return _make("line", shape, x1=x1, y1=-y1, x2=x2, y2=-y2)
        case Circle():
            return _make("circle", shape, fill=shape.fill, cx=shape.centre[0], cy=-shape.centre[1], r=shape.radius)
        case Polyline():
            element = _make("polygon" if shape.closed else "polyline", shape, fill=shape.fill)
            element.set("points", " ".join(map(_pair, shape.points)))
            return element
        case Arc():
            return _arc(shape)
        case _:
            return _text(shape)


def _make(tag: str, shape: Shape, fill: Tone | None = None, **numbers: float) -> ElementTree.Element:
    classes = phrase("role-{role} stroke-{drawn_stroke}", role=shape.role, drawn_stroke=shape.drawn_stroke) + (
        phrase(" fill-{fill}", fill=fill) if fill else ""
    )
    return ElementTree.Element(tag, {"class": classes} | {name: number(value) for name, value in numbers.items()})


def _pair(point: Point) -> str:
    return f"{number(point[0])},{number(-point[1])}"


def _arc(arc: Arc) -> ElementTree.Element:
    if arc.sweep == 360:
        return _make("circle", arc, cx=arc.centre[0], cy=-arc.centre[1], r=arc.radius)
    element = _make("path", arc)
    radius, far = number(arc.radius), int(arc.sweep > 180)
    # Sweep flag 0: counter-clockwise as seen, y having been turned downwards.
    element.set("d", f"M{_pair(arc.at(arc.start))} A{radius} {radius} 0 {far} 0 {_pair(arc.at(arc.end))}")
    return element


def _text(text: Text) -> ElementTree.Element:
    x, y = text.place
    element = ElementTree.Element("text", {"class": f"role-{text.role} anchor-{text.anchor}"})
    element.set("x", number(x))
    element.set("y", number(-y))
    element.set("font-size", number(text.height / CAP_SHARE * _NARROW_FACE))
    element.set("text-anchor", text.anchor)
    if text.rotation:
        element.set(
            "transform",
            phrase(
                "rotate({number} {number_2} {number_3})",
                number=number(-text.rotation),
                number_2=number(x),
                number_3=number(-y),
            ),
        )
    element.text = printable(str(text.words))
    return element
