from itertools import combinations, product

from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.labels import LabelSpot, set_aside
from specs.drawings.primitives import Extent, Role, bounds_of


def overlap(a, b):
    return min(a.right, b.right) - max(a.left, b.left) > 1e-9 and min(a.top, b.top) - max(a.bottom, b.bottom) > 1e-9


def test_a_lone_name_stands_to_the_right_of_its_spot():
    (text,) = set_aside([LabelSpot((10, 10), 4, "E1", Role.ENGINE)], 3)

    assert (text.words, text.anchor, text.role) == ("E1", "start", Role.ENGINE)
    assert text.place[0] > 14


def test_names_of_close_spots_keep_clear_of_each_other_and_of_the_spots():
    spots = [LabelSpot((0, 0), 5, "E1"), LabelSpot((11, 1), 5, "G1"), LabelSpot((-11, 0), 5, "E2")]
    boxes = [bounds_of([text]) for text in set_aside(spots, 3)]

    assert not any(overlap(a, b) for a, b in combinations(boxes, 2))
    for (x, y), box in product([spot.centre for spot in spots], boxes):
        assert not (box.left < x < box.right and box.bottom < y < box.top)


def test_a_name_keeps_off_lines_that_are_drawn_already():
    wall = [(8.0, -50.0), (8.0, 50.0)]
    (text,) = set_aside([LabelSpot((0, 0), 4, "E1")], 3, lines=[wall])

    assert not overlap(bounds_of([text]), Extent(7.9, -50, 8.1, 50))


@given(st.lists(st.tuples(st.integers(-4, 4), st.integers(-4, 4)), max_size=12, unique=True))
def test_every_spot_is_named_in_order_and_a_loose_grid_has_no_collision(cells):
    spots = [LabelSpot((25 * x, 25 * y), 3, f"H{k}") for k, (x, y) in enumerate(cells)]
    texts = set_aside(spots, 3)

    assert [text.words for text in texts] == [spot.words for spot in spots]
    assert not any(overlap(bounds_of([a]), bounds_of([b])) for a, b in combinations(texts, 2))
