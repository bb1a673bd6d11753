"""A drawing for the cutting machine: DXF R2010 in millimetres, one layer an operation."""

import io
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from specs.apart import done_apart
from specs.drawings.annotation import printable
from specs.drawings.primitives import Arc, Circle, Item, Line, Polyline, Shape, Text, bounds_of, shapes_of
from specs.phrase import phrase

if TYPE_CHECKING:
    from ezdxf.document import Drawing as Document

FORBIDDEN_IN_LAYER = '<>/\\":;?*|=`,'


@done_apart
def write(layers: Mapping[str, Sequence[Item]]) -> str:
    """The text of a DXF file with each layer's items [mm] on a layer of that name.

    Raises ValueError where a shape has no finite place, or two layers share a name, or a name has a character that
    DXF forbids: a machine would drop those silently.
    """
    import ezdxf
    from ezdxf import units

    document = ezdxf.new("R2010", units=units.MM)
    for name, items in layers.items():
        bounds_of(items)
        _add_layer(document, name)
        for shape in shapes_of(items):
            _put(document.modelspace(), shape, {"layer": name})
    stream = io.StringIO()
    document.write(stream)
    return stream.getvalue()


def _add_layer(document: "Document", name: str) -> None:
    bad = sorted({letter for letter in name if letter in FORBIDDEN_IN_LAYER or not letter.isprintable()})
    if bad or not name.strip():
        raise ValueError(
            phrase(
                "A layer cannot be named {name}: leave out {FORBIDDEN_IN_LAYER}.",
                name=f"{name!r}",
                FORBIDDEN_IN_LAYER=" ".join(FORBIDDEN_IN_LAYER),
            )
        )
    if document.layers.has_entry(name):
        raise ValueError(phrase("The layer {name} is there already: case makes no difference.", name=f"{name!r}"))
    document.layers.add(name)


def _put(space: Any, shape: Shape, attributes: dict[str, str]) -> None:
    match shape:
        case Line():
            space.add_line(shape.start, shape.end, dxfattribs=attributes)
        case Circle():
            space.add_circle(shape.centre, shape.radius, dxfattribs=attributes)
        case Polyline():
            space.add_lwpolyline(shape.points, close=shape.closed, dxfattribs=attributes)
        case Arc():
            space.add_arc(shape.centre, shape.radius, shape.start, shape.start + shape.sweep, dxfattribs=attributes)
        case _:
            _text(space, shape, attributes)


def _text(space: Any, text: Text, attributes: dict[str, str]) -> None:
    from ezdxf.enums import TextEntityAlignment as Align

    align = {"start": Align.LEFT, "middle": Align.CENTER, "end": Align.RIGHT}[text.anchor]
    # A percent sign starts a control code in DXF text (%%c is a diameter sign): %%% prints one percent sign.
    words = printable(str(text.words)).replace("%%", "%%%%%%").replace("^", "^ ")
    entity = space.add_text(words, height=text.height, rotation=text.rotation, dxfattribs=attributes)
    entity.set_placement(text.place, align=align)
