"""Where to measure: a sketch of each kind of component, the numbers of the sheet's rows at their places.

Not to scale: bodies as plain outlines, the axis along x. Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from django.utils.translation import gettext, ngettext

from shop.base.language import gettext_lazy
from specs.drawings.annotation import DimensionLine
from specs.drawings.primitives import Drawing, Item, Line, Polyline, Role, Text, Tone

_LETTERS = 3.2
Box = tuple[float, float, float, float]
Mark = tuple[str, float, float, float, float]


@dataclass(frozen=True)
class Sketch:
    """A component as boxes (left, bottom, width, height), words, and what is measured where.

    marks: by dimension, ("h" along or "v" across, from, to, where on the other axis, how far off the line stands).
    """

    boxes: tuple[Box, ...]
    marks: Mapping[str, Mark]
    axis: tuple[float, float] | None = None
    said: Mapping[str, tuple[float, float]] = field(default_factory=dict)


def sketch_of(kind: str, rows: Mapping[str, int]) -> Drawing | None:
    """The sketch of a kind of component with the numbers of the rows it shows; None where there is none to show."""
    sketch = SKETCHES.get(kind)
    named = {name: rows[name] for name in sketch.marks if name in rows} if sketch else {}
    if sketch is None or not named:
        return None
    items = [*_bodies(sketch), *(_mark(sketch.marks[name], str(number)) for name, number in named.items())]
    return Drawing(
        gettext("Where to measure"),
        ngettext(
            "{named} dimension at its place, not to scale.",
            "{named} dimensions at their places, not to scale.",
            len(named),
        ).format(named=len(named)),
        items,
    )


def _bodies(sketch: Sketch) -> Iterator[Item]:
    for left, bottom, wide, high in sketch.boxes:
        corners = ((left, bottom), (left + wide, bottom), (left + wide, bottom + high), (left, bottom + high))
        yield Polyline(corners, closed=True, fill=Tone.METAL, role=Role.OUTLINE)
    if sketch.axis:
        yield Line((sketch.axis[0], 0.0), (sketch.axis[1], 0.0), role=Role.CENTRE)
    for words, place in sketch.said.items():
        yield Text(place, words, 2.6)


def _mark(mark: Mark, number: str) -> DimensionLine:
    way, start, end, at, off = mark
    if way == "h":
        return DimensionLine((start, at), (end, at), number, off, 0.0, _LETTERS)
    return DimensionLine((at, start), (at, end), number, off, 90.0, _LETTERS)


SKETCHES: Mapping[str, Sketch] = {
    "gearbox": Sketch(
        boxes=(
            (0, 32, 40, 4),
            (0, -36, 40, 4),
            (40, -36, 5, 72),
            (45, -22, 75, 44),
            (120, -12, 6, 24),
            (26, -8, 14, 16),
            (-6, -5, 32, 10),
            (-18, -3, 12, 6),
            (88, -30, 12, 8),
        ),
        marks={
            "bellhousing depth": ("h", 0, 40, 36, 8),
            "length face to output flange": ("h", 0, 126, 36, 20),
            "input shaft projection": ("h", -18, 40, -36, -8),
            "face to mount centre": ("h", 0, 94, -36, -20),
            "pilot nose diameter": ("v", -3, 3, -18, 7),
            "pilot nose length": ("h", -18, -6, 3, 6),
            "spline start": ("h", -18, -2, -5, -6),
            "spline end": ("h", -18, 20, -5, -15),
            "input spline major diameter": ("v", -5, 5, 8, 0),
            "input spline minor diameter": ("v", -4, 4, 17, 0),
            "release bearing guide diameter": ("v", -8, 8, 33, 0),
        },
        axis=(-24, 132),
        said={gettext_lazy("engine face"): (-19, 33), gettext_lazy("front face"): (48, 29)},
    ),
    "engine": Sketch(
        boxes=((0, -40, 60, 80), (60, -14, 12, 28), (72, -8, 5, 16), (56, 28, 10, 5), (56, -33, 10, 5)),
        marks={
            "crank flange to block face": ("h", 60, 72, 40, 6),
            "crank flange register": ("v", -8, 8, 77, -10),
            "flywheel bolt circle diameter": ("v", -11, 11, 72, -22),
            "pilot bore": ("v", -4, 4, 64, 0),
            "pilot bore depth": ("h", 60, 72, -14, -8),
            "dowel diameter": ("v", 28, 33, 66, -8),
            "dowel height": ("h", 60, 66, -33, -8),
            "starter pinion centre to crank axis": ("v", -36, 0, 40, 14),
        },
        axis=(-6, 100),
        said={gettext_lazy("rear face of the block"): (4, 34), gettext_lazy("starter axis"): (4, -38)},
    ),
    "clutch disc": Sketch(
        boxes=((20, -40, 8, 22), (20, 18, 8, 22), (22, -18, 4, 36), (12, -8, 24, 16), (12, -4, 24, 8)),
        marks={
            "outside diameter": ("v", -40, 40, 20, 22),
            "inside diameter": ("v", -18, 18, 20, 13),
            "thickness": ("h", 20, 28, 40, 6),
            "hub length": ("h", 12, 36, -8, -8),
            "hub spline major diameter": ("v", -4, 4, 36, -8),
            "hub spline minor diameter": ("v", -3, 3, 36, -18),
        },
        axis=(0, 66),
        said={gettext_lazy("lining"): (31, 28)},
    ),
    "clutch cover": Sketch(
        boxes=((0, -44, 6, 88), (6, -40, 5, 24), (6, 16, 5, 24), (11, -40, 16, 6), (11, 34, 16, 6), (24, -20, 3, 40)),
        marks={
            "fitted height": ("h", 6, 27, 40, 8),
            "finger height": ("h", 6, 27, -40, -8),
            "required release travel": ("h", 18, 24, 0, 8),
        },
        axis=(-6, 50),
        said={gettext_lazy("flywheel face"): (-12, -50), gettext_lazy("fingers"): (29, 8)},
    ),
    "flywheel": Sketch(
        boxes=((20, -44, 10, 88), (12, -18, 8, 36), (14, 44, 10, 4), (14, -48, 10, 4), (12, -6, 18, 12)),
        marks={
            "outside diameter": ("v", -44, 44, 20, 18),
            "register bore": ("v", -6, 6, 30, -12),
            "thickness": ("h", 12, 30, 48, 6),
        },
        axis=(0, 60),
        said={gettext_lazy("friction face"): (33, 30), gettext_lazy("ring gear"): (33, 45)},
    ),
    "adapter plate": Sketch(
        boxes=((20, -44, 9, 26), (20, 18, 9, 26)),
        marks={"plate thickness": ("h", 20, 29, 44, 6), "register bore in plate": ("v", -18, 18, 24, 0)},
        axis=(6, 50),
        said={gettext_lazy("engine side"): (-2, 36), gettext_lazy("gearbox side"): (33, 36)},
    ),
    "release bearing": Sketch(
        boxes=((0, -30, 5, 60), (5, -9, 22, 18), (27, -20, 12, 40)),
        marks={
            "bearing height": ("h", 5, 39, 30, 6),
            "bearing stroke": ("h", 27, 39, -20, -8),
            "contact diameter": ("v", -16, 16, 39, -10),
        },
        axis=(-6, 64),
        said={gettext_lazy("gearbox face"): (-10, -36)},
    ),
    "hydraulic cylinder": Sketch(
        boxes=((0, -12, 60, 24), (6, -8, 48, 16), (24, -8, 10, 16), (34, -2, 46, 4)),
        marks={"bore": ("v", -8, 8, 14, 0), "stroke": ("h", 34, 54, -12, -8)},
        axis=(-6, 86),
    ),
    "propshaft": Sketch(
        boxes=((0, -14, 5, 28), (5, -5, 12, 10), (17, -10, 90, 20), (107, -6, 26, 12), (133, -5, 12, 10)),
        marks={
            "length between joints": ("h", 11, 139, 14, 10),
            "tube outside diameter": ("v", -10, 10, 60, 0),
            "tube wall": ("v", 7, 10, 88, 0),
            "slip travel": ("h", 107, 133, -10, -8),
            "flange bolt circle diameter": ("v", -11, 11, 0, 8),
        },
        axis=(-6, 152),
        said={gettext_lazy("joint"): (6, 16), gettext_lazy("slip"): (112, 8)},
    ),
    "axle": Sketch(
        boxes=((0, -6, 4, 12), (4, -4, 30, 8), (34, -14, 24, 28), (58, -4, 60, 8), (90, 4, 12, 4)),
        marks={"flange to spring centre": ("h", 0, 96, 8, 10)},
        said={gettext_lazy("pinion flange"): (-4, -12), gettext_lazy("spring"): (92, -12)},
    ),
    "mount": Sketch(
        boxes=((0, 0, 30, 4), (4, 4, 22, 18), (0, 22, 30, 4), (70, 0, 30, 4), (74, 4, 22, 18), (70, 22, 30, 4)),
        marks={"height loaded": ("v", 0, 26, 0, 8), "mount spacing": ("h", 15, 85, 26, 8)},
    ),
    "shifter": Sketch(
        boxes=((0, 0, 4, 60), (-3, 17, 10, 6), (4, -2, 70, 4)),
        marks={
            "rod length": ("h", 4, 74, -2, -8),
            "lower arm": ("v", 0, 20, 4, -10),
            "upper arm": ("v", 20, 60, 4, -10),
        },
        said={gettext_lazy("pivot"): (-16, 19), gettext_lazy("knob"): (-16, 58)},
    ),
    "starter": Sketch(
        boxes=((0, -16, 60, 32), (60, -22, 4, 44), (64, -5, 14, 10)),
        marks={"pinion to mounting face": ("h", 64, 78, 22, 6)},
        axis=(-6, 90),
        said={gettext_lazy("mounting face"): (36, 25)},
    ),
}
