from math import cos, pi, sin

import pytest
from hypothesis import assume, given

from specs.geometry.datums import from_dowels, from_flat, from_register
from specs.geometry.points import distance
from tests.specs.geometry.strategies import coordinates, points


@given(points, points, points, points)
def test_a_datum_moves_the_part_without_bending_it(first, second, a, b):
    assume(distance(first, second) > 1e-3)
    for datum in (from_dowels(first, second), from_flat(first, second, 0.1, 0.02)):
        assert distance(datum.of(a), datum.of(b)) == pytest.approx(distance(a, b), abs=1e-12)
        assert datum.back(datum.of(a)) == pytest.approx(a, abs=1e-12)


@given(points, points)
def test_dowels_lie_on_the_x_axis_either_side_of_the_origin(first, second):
    assume(distance(first, second) > 1e-3)
    datum, half = from_dowels(first, second), distance(first, second) / 2

    assert datum.of(first) == pytest.approx((-half, 0), abs=1e-12)
    assert datum.of(second) == pytest.approx((half, 0), abs=1e-12)


@given(points, points, coordinates, coordinates)
def test_the_flat_lies_below_the_origin_by_the_stated_distance(first, second, up, along):
    assume(distance(first, second) > 1e-3)
    datum = from_flat(first, second, up, along)

    assert datum.of(first) == pytest.approx((-along, -up), abs=1e-12)
    assert datum.of(second)[1] == pytest.approx(-up, abs=1e-12)


def test_a_register_gives_its_centre():
    edge = [(0.1 + 0.06 * cos(a), 0.2 + 0.06 * sin(a)) for a in (0.1, 1.5, 3.0, 4.4)]
    datum = from_register(edge, towards=(0.1, 0.5))

    assert datum.origin == pytest.approx((0.1, 0.2))
    assert datum.angle == pytest.approx(pi / 2)
    assert datum.of((0.1, 0.5)) == pytest.approx((0.3, 0), abs=1e-9)
    assert "register" in datum.construction


@pytest.mark.parametrize("build", [lambda: from_dowels((1, 1), (1, 1)), lambda: from_flat((1, 1), (1, 1), 0.1)])
def test_one_place_gives_no_direction(build):
    with pytest.raises(ValueError, match="one place"):
        build()
