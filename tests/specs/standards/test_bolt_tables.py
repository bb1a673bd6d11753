"""Heads, clearance holes, lengths and dowels hold the values of their standards and say what they lack."""

import math

import pytest

from specs.standards import clearance, dowels, heads, lengths, lookup, threads


@pytest.mark.parametrize(
    ("designation", "fine", "medium", "coarse"),
    # ISO 273, read in a public reproduction: the sizes where drawings libraries are often wrong.
    [("M10", 10.5, 11, 12), ("M12", 13, 13.5, 14.5), ("M14", 15, 15.5, 16.5), ("M16", 17, 17.5, 18.5)],
)
def test_clearance_holes_are_those_of_iso_273(designation: str, fine: float, medium: float, coarse: float) -> None:
    thread = threads.find(designation)
    found = [clearance.hole(thread, fit) * 1000 for fit in ("fine", "medium", "coarse")]
    assert found == pytest.approx([fine, medium, coarse])


@pytest.mark.parametrize(
    ("designation", "fine", "medium", "coarse"),
    # A second public reproduction, read. It is right here and wrong at M12 to M16 (14, 16 and 18 for medium), the error
    # that many drawing libraries share: those sizes are held above.
    [
        ("M3", 3.2, 3.4, 3.6),
        ("M4", 4.3, 4.5, 4.8),
        ("M5", 5.3, 5.5, 5.8),
        ("M6", 6.4, 6.6, 7),
        ("M8", 8.4, 9, 10),
        ("M18", 19, 20, 21),
        ("M20", 21, 22, 24),
        ("M22", 23, 24, 26),
        ("M24", 25, 26, 28),
        ("M27", 28, 30, 32),
        ("M30", 31, 33, 35),
        ("M33", 34, 36, 38),
        ("M36", 37, 39, 42),
        ("M39", 40, 42, 45),
    ],
)
def test_clearance_holes_agree_with_a_second_table(designation: str, fine: float, medium: float, coarse: float) -> None:
    thread = threads.find(designation)
    found = [clearance.hole(thread, fit) * 1000 for fit in ("fine", "medium", "coarse")]
    assert found == pytest.approx([fine, medium, coarse])


@pytest.mark.parametrize(
    ("designation", "bearing", "height"),
    # ISO 4762, dw,min and k,max, read in a public reproduction of its table 1.
    [
        ("M3", 5.07, 3),
        ("M4", 6.53, 4),
        ("M5", 8.03, 5),
        ("M6", 9.38, 6),
        ("M8", 12.33, 8),
        ("M10", 15.33, 10),
        ("M12", 17.23, 12),
        ("M14", 20.17, 14),
        ("M16", 23.17, 16),
        ("M20", 28.87, 20),
        ("M24", 34.81, 24),
        ("M30", 43.61, 30),
        ("M36", 52.54, 36),
    ],
)
def test_socket_heads_are_those_of_iso_4762(designation: str, bearing: float, height: float) -> None:
    head = heads.find("socket", threads.find(designation))
    assert (head.bearing * 1000, head.height * 1000) == pytest.approx((bearing, height))


@pytest.mark.parametrize(
    ("designation", "outside", "height"),
    # ISO 10642, theoretical head diameter and height, read in two public reproductions.
    [
        ("M3", 6.72, 1.86),
        ("M4", 8.96, 2.48),
        ("M5", 11.2, 3.1),
        ("M6", 13.44, 3.72),
        ("M8", 17.92, 4.96),
        ("M10", 22.4, 6.2),
        ("M12", 26.88, 7.44),
        ("M16", 33.6, 8.8),
        ("M20", 40.32, 10.16),
    ],
)
def test_countersunk_heads_are_those_of_iso_10642(designation: str, outside: float, height: float) -> None:
    head = heads.find("countersunk", threads.find(designation))
    assert (head.outside * 1000, head.height * 1000) == pytest.approx((outside, height))


def test_clearance_holes_grow_with_the_series_and_the_size() -> None:
    rows = list(clearance.table().values())
    for row in rows:
        assert row.size < row.fine < row.medium < row.coarse
    for smaller, larger in zip(rows, rows[1:], strict=False):
        assert smaller.medium < larger.medium


@pytest.mark.parametrize("designation", ["M15x1.5", "1/2-20 UNF"])
def test_a_thread_without_a_clearance_hole_is_refused_by_name(designation: str) -> None:
    with pytest.raises(clearance.NoClearanceHole, match=designation):
        clearance.hole(threads.find(designation))


@pytest.mark.parametrize(
    ("kind", "designation", "bearing"),
    [
        ("hex", "M10x1.25", 14.63),  # ISO 4014 grade A, read in a public reproduction
        ("hex", "M22", 31.71),
        ("hex", "M27", 38.0),  # grade B above M24, from memory
        ("flange", "M12", 23.8),  # EN 1665, read in a public reproduction
        ("socket", "M8", 12.33),  # ISO 4762, from memory
        ("countersunk", "M8", 15.24),  # ISO 10642, read in a public reproduction
    ],
)
def test_bearing_faces_are_those_printed(kind: str, designation: str, bearing: float) -> None:
    assert heads.find(kind, threads.find(designation)).bearing * 1000 == pytest.approx(bearing)


@pytest.mark.parametrize(
    ("designation", "smallest_across_flats"),
    # s,min of ISO 4014: to M24 read in a public reproduction, above from memory.
    [
        ("M14", 20.67),
        ("M16", 23.67),
        ("M18", 26.67),
        ("M20", 29.67),
        ("M22", 33.38),
        ("M24", 35.38),
        ("M27", 40),
        ("M30", 45),
        ("M33", 49),
        ("M36", 53.8),
        ("M39", 58.8),
    ],
)
def test_large_hexagons_bear_on_95_hundredths_of_the_smallest_across_flats(
    designation: str, smallest_across_flats: float
) -> None:
    """ISO 4014, note to the table: dw,min = 0.95 s,min above M12 (from memory)."""
    bearing = heads.find("hex", threads.find(designation)).bearing * 1000
    assert bearing == pytest.approx(0.95 * smallest_across_flats, abs=0.006)


@pytest.mark.parametrize("head", heads.table(), ids=lambda head: f"{head.kind} {head.grade} M{head.size * 1000:g}")
def test_every_head_bears_outside_its_clearance_hole(head: heads.Head) -> None:
    thread = threads.find(f"M{head.size * 1000:g}")
    assert head.bearing > clearance.hole(thread)
    assert head.outside is None or head.outside > head.bearing
    assert clearance.hole(thread) < lookup.mean_bearing_diameter(head.kind, thread)


def test_friction_under_a_head_acts_midway_between_hole_and_rim() -> None:
    assert lookup.mean_bearing_diameter("hex", threads.find("M10")) == pytest.approx((14.63 + 11) / 2000)


def test_a_countersunk_head_rubs_on_a_cone() -> None:
    flat = (15.24 + 9) / 2000
    assert lookup.mean_bearing_diameter("countersunk", threads.find("M8")) == pytest.approx(flat * math.sqrt(2))


@pytest.mark.parametrize(
    ("kind", "designation", "words"),
    [
        ("round", "M8", "choose hex, socket, flange, countersunk"),
        ("hex", "1/2-20 UNF", "heads of metric bolts only"),
        ("socket", "M18", "no socket head is standard for M18; there are M3, M4"),
    ],
)
def test_a_head_that_no_standard_states_is_refused(kind: str, designation: str, words: str) -> None:
    with pytest.raises(heads.NoHead) as caught:
        heads.find(kind, threads.find(designation))
    assert words in str(caught.value)


@pytest.mark.parametrize(
    ("asked", "standard"),
    [(0.001, 0.002), (0.032, 0.035), (0.048, 0.05), (0.065, 0.065), (0.045 + 0.02, 0.065), (0.0651, 0.07), (0.5, 0.5)],
)
def test_the_next_preferred_length_is_found(asked: float, standard: float) -> None:
    assert lengths.standard_at_least(asked) == standard


def test_beyond_the_longest_length_there_is_none() -> None:
    assert lengths.standard_at_least(0.501) is None


def test_preferred_lengths_rise() -> None:
    assert list(lengths.preferred()) == sorted(set(lengths.preferred()))


@pytest.mark.parametrize(
    ("diameter", "lower", "upper"),
    # ISO 286-2 tolerance m6, read in a public reproduction.
    [(0.003, 2e-6, 8e-6), (0.006, 4e-6, 12e-6), (0.010, 6e-6, 15e-6), (0.012, 7e-6, 18e-6), (0.020, 8e-6, 21e-6)],
)
def test_dowels_are_ground_to_m6(diameter: float, lower: float, upper: float) -> None:
    found = dowels.find(diameter)
    assert (found.lower, found.upper) == pytest.approx((lower, upper))


def test_a_dowel_comes_in_the_lengths_of_its_row() -> None:
    found = dowels.find(0.008)
    assert found.lengths[0] == 0.018
    assert found.lengths[-1] == 0.08
    for pin in dowels.table():
        assert pin.shortest in pin.lengths
        assert pin.longest in pin.lengths
        assert 2 * pin.chamfer < pin.shortest


def test_an_unknown_dowel_is_refused_with_the_sizes_there_are() -> None:
    with pytest.raises(dowels.NoDowel, match="no 7 mm pin; there are 1, 1.5, 2"):
        dowels.find(0.007)
