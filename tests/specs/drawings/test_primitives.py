import pytest

from specs.drawings.annotation import CentreMark
from specs.drawings.primitives import (
    Arc,
    Circle,
    Drawing,
    Extent,
    Line,
    Polyline,
    Role,
    Stroke,
    Text,
    bounds_of,
    one_below_another,
    shifted,
)

EVERYTHING = [
    Line((0, 0), (4, 1)),
    Polyline(((0, 0), (4, 0), (4, 3))),
    Circle((1, 2), 3),
    Arc((1, 2), 3, 0, 90),
    Text((1, 2), "bore", rotation=90),
]


@pytest.mark.parametrize("shape", EVERYTHING, ids=lambda shape: type(shape).__name__)
def test_a_shifted_shape_is_the_same_elsewhere(shape):
    before, after = bounds_of([shape]), bounds_of([shifted(shape, 10, -20)])

    assert (after.left, after.bottom) == pytest.approx((before.left + 10, before.bottom - 20))
    assert (after.width, after.height) == pytest.approx((before.width, before.height))


def test_drawings_one_below_another_do_not_overlap():
    first = Drawing("A", "", [Circle((0, 0), 5)], Extent(-5, -5, 5, 5))
    second = Drawing("B", "", [CentreMark((50, 50), 2)], Extent(40, 48, 60, 52))
    both = one_below_another("Both", "Two.", [first, second], gap=3)

    assert (both.bounds.width, both.bounds.height) == (20, 10 + 3 + 4)
    circle, across, _ = both.shapes
    assert bounds_of([circle]) == Extent(0, -10, 10, 0)
    assert across.start == (8, -15)


def test_a_shape_without_a_stroke_is_drawn_as_its_role_usually_is():
    assert Line((0, 0), (1, 1), role=Role.CENTRE).drawn_stroke is Stroke.CHAIN
    assert Line((0, 0), (1, 1), role=Role.CENTRE, stroke=Stroke.WIDE).drawn_stroke is Stroke.WIDE
