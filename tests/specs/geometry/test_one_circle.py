"""One circle fitted without arrays, against the fit of many at once and against circles that are known."""

from math import cos, pi, sin, tau

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.geometry.circles import fit_circles
from specs.geometry.one_circle import newton_alone

MISSES = st.lists(st.floats(-0.02, 0.02), min_size=5, max_size=12)


def _about_their_middle(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    x, y = (sum(column) / len(points) for column in zip(*points, strict=True))
    return [(a - x, b - y) for a, b in points]


@given(MISSES, st.floats(pi, tau), st.floats(0, tau))
def test_it_is_the_circle_that_the_fit_of_many_at_once_finds(misses: list[float], arc: float, turn: float) -> None:
    places = [(turn + arc * at / len(misses), 0.5 + miss) for at, miss in enumerate(misses)]
    points = _about_their_middle([(reach * cos(angle), reach * sin(angle)) for angle, reach in places])
    assert newton_alone(points) == pytest.approx(fit_circles([points])[0], abs=1e-9)


def test_three_points_of_a_right_triangle_lie_on_the_circle_over_its_longest_side() -> None:
    # Thales: centre in the middle of the longest side.
    corners = _about_their_middle([(0.0, 0.0), (0.8, 0.0), (0.0, 0.6)])
    middle = (corners[1][0] + corners[2][0]) / 2, (corners[1][1] + corners[2][1]) / 2
    assert newton_alone(corners) == pytest.approx((*middle, 0.5), abs=1e-12)


@pytest.mark.parametrize(
    "points",
    [
        [(-1.0, 0.0), (0.0, 0.0), (1.0, 0.0)],
        [(-1.0, 0.0), (-0.5, 1e-7), (0.5, 1e-7), (1.0, 0.0)],
        [(-1.0, 0.1), (-0.4, -0.1), (0.4, 0.1), (1.0, -0.1)],
        [(1.0, 0.0), (-1.0, 0.0), (0.0, 0.4), (0.0, -0.4)],
    ],
)
def test_points_that_hardly_tell_a_circle_are_left_to_the_search(points: list[tuple[float, float]]) -> None:
    assert newton_alone(points) is None
