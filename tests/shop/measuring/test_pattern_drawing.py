"""The picture of a hole pattern."""

from __future__ import annotations

from shop.measuring.pattern_drawing import DATUM_REACH, pattern_drawing
from specs.drawings.primitives import Text, bounds_of
from specs.models import Hole


def _hole(name: str, x: float, y: float) -> Hole:
    return Hole(name=name, x=x, y=y, diameter=11.0, kind="clearance")


def test_no_name_stands_on_the_arms_of_a_datum_that_is_a_hole_itself():
    holes = [_hole("D1", 0.0, 0.0), _hole("B6", -7.5, 21.2), _hole("B5", 3.7, 97.5), _hole("D2", 286.0, 0.0)]
    items = pattern_drawing("face", holes, [], "from the gearbox side").items
    names = [item for item in items if isinstance(item, Text) and item.words in {"D1", "B6"}]
    assert len(names) == 2
    for name in names:
        box, reach = bounds_of([name]), DATUM_REACH * name.height
        assert not (box.left < 0 < box.right and box.bottom < reach and box.top > -reach), name
        assert not (box.bottom < 0 < box.top and box.left < reach and box.right > -reach), name


def test_no_name_stands_on_the_mark_of_an_old_datum():
    holes = [_hole("D1", -143.0, 0.0), _hole("B6", -150.5, 21.2), _hole("D2", 143.0, 0.0), _hole("B7", -103.0, -123.0)]
    items = pattern_drawing("face", holes, [], "from the gearbox side", (-143.0, 0.0)).items
    name = next(item for item in items if isinstance(item, Text) and item.words == "D1")
    box, reach = bounds_of([name]), 2 * name.height
    assert not (box.left < -143.0 < box.right and box.bottom < reach and box.top > -reach)
    assert not (box.bottom < 0 < box.top and box.left < reach - 143.0 and box.right > -reach - 143.0)
